#!/usr/bin/env python3
"""First byte, first settled paint, key to first byte and peak memory of the program in a pty of 60x24.

usage: benches/startup.py PROGRAM NOTEBOOK HOME
"""
import fcntl, os, pty, select, signal, statistics as st, struct, sys, termios, time

def run(argv,quit_keys,env={},key=b'\x1b[B'):
    t0=time.perf_counter(); pid,fd=pty.fork()
    if pid==0:
        os.environ.update(TERM='xterm-256color',**env); os.execvp(argv[0],argv)
    fcntl.ioctl(fd,termios.TIOCSWINSZ,struct.pack('HHHH',24,60,0,0))
    first=None;last=None;buf=b''
    while True:
        r,_,_=select.select([fd],[],[],0.15 if first else 3)
        if not r: break
        try: b=os.read(fd,65536)
        except OSError: break
        if not b: break
        now=time.perf_counter(); first=first or now; last=now; buf+=b
        # answer the usual terminal queries so that nobody waits for a timeout
        if b'\x1b[c' in b or b'\x1b[0c' in b: os.write(fd,b'\x1b[?62;22c')
        if b'\x1b[6n' in b: os.write(fd,b'\x1b[1;1R')
        if now-t0>3: break
    lat=[]
    for _ in range(10):
        try:
            k0=time.perf_counter(); os.write(fd,key)
            r,_,_=select.select([fd],[],[],0.3)
            if r: os.read(fd,65536); lat.append(time.perf_counter()-k0)
            while select.select([fd],[],[],0.02)[0]: os.read(fd,65536)
        except OSError: break
    rss=0
    try: rss=int([l for l in open(f'/proc/{pid}/status') if l.startswith('VmHWM')][0].split()[1])
    except Exception: pass
    for k in quit_keys:
        try: os.write(fd,k); time.sleep(.02)
        except OSError: pass
    try: os.kill(pid,signal.SIGKILL)
    except OSError: pass
    os.waitpid(pid,0); os.close(fd)
    return (first-t0)*1e3 if first else None,(last-t0)*1e3 if last else None,len(buf),st.median(lat)*1e3 if lat else None,rss


program, notebook, home = sys.argv[1:4]
runs = [run([program, "--home", home, notebook], [b"q"], key=b"j") for _ in range(7)]
for at, name in enumerate(["first byte, ms", "last byte of the settled paint, ms", "bytes", "key to first byte, ms", "peak memory, kB"]):
    values = [one[at] for one in runs if one[at] is not None]
    print(f"{name:36} median {st.median(values):8.1f}  min {min(values):8.1f}  max {max(values):8.1f}")

#![allow(warnings)]
use wrenchworth::car::*; use wrenchworth::engine::*; use wrenchworth::trade::Tables;
fn main(){
 let k = Knowledge::new(Tables::embedded().unwrap());
 let mut car = CarRecord::default();
 car.name="Dabchick".into();
 let p=&mut car.particulars; p.year=Some(2011); p.odometer_miles=Some(150000.0); p.fuel=Some(Fuel::Petrol); p.gearbox=Some(Gearbox::Manual); p.drive=Some(Drive::Front); p.timing=Some(TimingDrive::Chain); p.steering=Some(Steering::Hydraulic); p.turbo=Some(false); p.hybrid=Some(false); p.air_conditioning=Some(true); p.sunroof=Some(false); p.cylinders=Some(4); p.size_class=Some(SizeClass::Mid); p.salt_winters=Some(SaltWinters::Some);
 car.listing.asking=Some(Money::whole(2400));
 car.worth.own=Some(MoneyRange{low:Money::whole(2700),likely:Money::whole(3200),high:Money::whole(3700),reading:RangeReading::OneInTen});
 let mut buyer=Buyer::default(); buyer.wallet=Some(Money::whole(4000));
 for c in ["brakes","springs","steering","fuel"] { buyer.takes_home.insert(c.into()); }
 let draws: u32 = std::env::args().nth(1).and_then(|s| s.parse().ok()).unwrap_or(20000);
 let run=Run{today:jiff::civil::date(2026,11,25),seed:7,draws};
 let t=std::time::Instant::now();
 let a=k.appraise(&car,&buyer,&run);
 println!("{:?}", t.elapsed());
 let t=std::time::Instant::now(); let _=k.appraise(&car,&buyer,&run); println!("{:?}", t.elapsed());
 println!("expected faults {:.1}", a.faults.iter().map(|f| f.chance).sum::<f64>());
 for f in a.faults.iter().take(45){ println!("{} {:40} {:5.1}% needed {} {:?} cash {:.0?} h {:.1?} takes {:.0}", f.id,f.name,f.chance*100.,f.needed,f.route,f.cash,f.hours,f.takes);}
 for r in &a.ladder { println!("{:40} {:>10}", r.label, r.cash); }
 println!("{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}\n{:?}", a.limit, a.floor, a.repair, a.unseen, a.chances, a.assumptions,a.worth);
}

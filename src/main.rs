//! What a car is worth to someone with a wrench.
fn main() -> std::process::ExitCode {
    wrenchworth::cli::run_from_environment()
}

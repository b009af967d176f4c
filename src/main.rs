//! The program: everything it does is in the library's `shell`.

fn main() -> std::process::ExitCode {
    sawpierce::shell::run()
}

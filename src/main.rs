fn main() -> std::process::ExitCode {
    sawpierce::shell::run()
}

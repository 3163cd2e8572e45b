//! The program: arguments in, exit code out. Everything happens in the library.

fn main() -> std::process::ExitCode {
    strutwise::cli::main(std::env::args_os())
}

//! The program: arguments in, exit code out. Everything happens in the library.

fn main() {}

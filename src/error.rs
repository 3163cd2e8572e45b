//! The sum of the stations' errors, and the exit code each gives.

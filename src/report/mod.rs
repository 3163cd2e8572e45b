//! What readers get: text, JSON, CSV, notes and pictures. Everything is read from the results value
//! ([`crate::assess::results::Assessment`]); nothing here works a result out.

pub mod csv;
pub mod document;
pub mod draw;
pub mod json;
pub mod picture;
pub mod text;

mod font;
mod show;

#[cfg(test)]
mod sample;

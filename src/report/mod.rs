//! What readers get: text, JSON, CSV, notes and pictures. Everything is read from the results value
//! ([`crate::assess::results::Assessment`]); nothing here works a result out.

pub mod csv;
pub mod document;
pub mod draw;
pub mod explain;
pub mod explain_html;
pub mod html;
pub mod json;
pub mod markdown;
pub mod obj;
pub mod pdf;
pub mod picture;
pub mod plain_frame;
pub mod study;
pub mod text;

mod alike;
mod base64;
mod feet;
mod font;
mod misfit;
mod ranges;
pub(crate) mod screen;
mod show;
mod undrawn;
mod view_data;

#[cfg(test)]
mod sample;

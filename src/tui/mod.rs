//! The terminal program.
//!
//! Keys become messages; [`update::update`] turns a message into changed state and effects, pure;
//! [`effect`] alone touches the store; [`view`] draws. Reading order: the command table, messages,
//! state, update, view, the screens and what is laid over them, then the terminal and the loop.

pub mod commands;
pub mod glance;
pub mod layers;
pub mod message;
pub mod press;
pub mod screens;
pub mod state;
pub mod terminal;
pub mod theme;
pub mod update;
pub mod view;
pub mod widgets;
pub mod words;

#[cfg(test)]
mod tests;

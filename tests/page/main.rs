//! The built page in a browser, from end to end.
#![cfg(not(target_arch = "wasm32"))]

mod access;
mod answers;
mod built;
mod card;
mod carry;
mod choices;
mod chromedriver;
mod device;
mod figures;
mod keeping;
mod keys;
mod layout;
mod lens;
mod looks;
mod offline;
mod phone;
mod place;
mod red;
mod scratch;
mod site;
mod when;
mod why;
mod worker;

/// The two screens the page is made for, CSS px.
const SCREENS: [(u32, u32); 2] = [(360, 780), (320, 640)];

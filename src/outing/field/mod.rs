//! For use in the field: the card, the checklists, dew.

pub mod card;
pub mod checklist;
pub mod dew;

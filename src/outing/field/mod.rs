//! What is taken into the field: the card, the checklists, the warning of dew.

pub mod card;
pub mod checklist;
pub mod dew;

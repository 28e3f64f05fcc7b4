//! The places of the gazetteer that a search finds.

use std::rc::Rc;

use super::Derived;
use crate::browser::gazetteer;
use crate::outing::gazetteer::Town;
use crate::outing::plan::site::{Site, Zone};
use crate::outing::share::query::LONGEST_NAME;
use crate::ui::state::State;
use crate::ui::state::site_sheet::GazetteerState;

/// Places offered for a search.
const OFFERED: usize = 6;

/// A place found.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundPlace {
    /// The site there; its clock is UTC where the zone cannot be read.
    pub site: Site,
    /// The two letters of its country (ISO 3166-1).
    pub country: String,
}

impl FoundPlace {
    fn new(town: &Town<'_>) -> Self {
        Self {
            site: Site {
                name: town.name.chars().take(LONGEST_NAME).collect(),
                latitude: town.latitude,
                longitude: town.longitude,
                height_m: 0.0,
                zone: Zone::read(town.zone).unwrap_or(Zone::Fixed(0)),
                ..Site::default()
            },
            country: town.country.to_owned(),
        }
    }
}

impl Derived {
    /// The places of the name looked for on the Site sheet; none until the list is there.
    pub fn places_found(&self, state: &State) -> Rc<Vec<FoundPlace>> {
        let loaded = state.site.gazetteer == GazetteerState::Loaded;
        let key = (state.site.query.clone(), loaded);
        self.places_found.get(key, |(query, loaded)| {
            let found = loaded.then(|| {
                gazetteer::with_gazetteer(|places| {
                    let found = places.search(query, OFFERED);
                    found.iter().map(FoundPlace::new).collect()
                })
            });
            found.flatten().unwrap_or_default()
        })
    }
}

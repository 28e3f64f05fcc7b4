//! The outings used lately on this phone, each to be opened again.

use yew::prelude::*;

use crate::browser::persistence::{RecentOuting, recent_outings};
use crate::outing::document::OutingId;
use crate::outing::share::query;
use crate::ui::state::action::Action;
use crate::ui::text::share;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::option;

/// The outing in use, which is not listed, and where a choice is reported.
#[derive(Properties, PartialEq)]
pub struct RecentOutingsProps {
    /// Identifies the outing in use.
    pub id: OutingId,
    /// Its written form.
    pub form: AttrValue,
    /// Where a choice is reported.
    pub dispatch: Dispatch,
}

/// The recent outings, read from storage when the sheet opens and when another outing comes
/// into use; nothing where there is none.
#[function_component]
pub fn RecentOutings(props: &RecentOutingsProps) -> Html {
    let RecentOutingsProps { id, form, dispatch } = props;
    let others = use_memo((*id, form.clone()), |(id, form)| {
        others(recent_outings(), *id, form)
    });
    if others.is_empty() {
        return Html::default();
    }
    let row = |recent: &RecentOuting| {
        let outing = &recent.outing;
        let open = Action::OpenRecent(recent.id, Box::new(outing.clone()));
        let (name, line) = (share::outing_name(outing), share::kit_and_night(outing));
        html! { <li>{ option(&name, &line, false, on_click(dispatch, open)) }</li> }
    };
    html! {
        <>
            <h3>{ "Recent outings" }</h3>
            <ul id="recent" class="kits">{ for others.iter().map(row) }</ul>
        </>
    }
}

/// The recent outings without the one in use, by its identifier and its written form, and with
/// each written form once.
fn others(recent: Vec<RecentOuting>, id: OutingId, form: &str) -> Vec<RecentOuting> {
    let mut forms = vec![form.to_owned()];
    let is_new = |recent: &RecentOuting| {
        let form = query::write(&recent.outing);
        let new = recent.id != id && !forms.contains(&form);
        if new {
            forms.push(form);
        }
        new
    };
    recent.into_iter().filter(is_new).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::Outing;

    fn recent(id: u64, f_number: f64) -> RecentOuting {
        RecentOuting {
            id: OutingId(id),
            saved_ms: 0,
            outing: Outing {
                f_number,
                ..Outing::default()
            },
        }
    }

    #[test]
    fn the_outing_in_use_and_repetitions_are_not_listed() {
        let stored = vec![
            recent(1, 4.0), // the one in use, as it was before the last edit
            recent(2, 2.0),
            recent(3, 2.8), // written as the one in use
            recent(4, 2.0), // written as the second
            recent(5, 4.0),
        ];
        let form = query::write(&recent(1, 2.8).outing);
        let listed = others(stored, OutingId(1), &form);
        let ids: Vec<_> = listed.iter().map(|recent| recent.id.0).collect();
        assert_eq!(ids, [2, 5]);
    }
}

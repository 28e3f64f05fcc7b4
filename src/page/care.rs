//! The cautions, once, where people will see them.

use yew::prelude::*;

/// What to mind at night.
pub fn care() -> Html {
    html! {
        <section class="card care" aria-labelledby="care-title">
            <h2 id="care-title">{ "Come home well" }</h2>
            <ul>
                <li>{ "See the place by day first: edges, loose rock, water, the way out." }</li>
                <li>{ "Look up tide and weather, and leave early when either turns." }</li>
                <li>{ "Walk with a white lamp and carry a spare; red light hides drops. Stand still \
                       while you look at a screen." }</li>
                <li>{ "Tell somebody where you are and when you will be back." }</li>
                <li>{ "Closures, private land, animals, permits: local rules and rangers come first." }</li>
                <li>{ "Never point a lens or an eye at the Sun." }</li>
            </ul>
            <p>{ "Tarnlight gives times and angles, not permission and not a forecast." }</p>
        </section>
    }
}

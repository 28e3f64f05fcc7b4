//! A kit read from one of the photographer's own pictures.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::browser::worker_client;
use crate::ui::sheets::PICTURE_FILES;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;

/// The message before a picture is opened.
const INVITATION: &str = "Open a picture of yours, JPEG or raw. It is read here and goes nowhere.";

/// The button, and the message about the file opened last.
pub fn photo_button(message: Option<&str>, dispatch: &Dispatch) -> Html {
    let dispatch = dispatch.clone();
    let onchange = Callback::from(move |event: Event| {
        let input = event.target_dyn_into::<HtmlInputElement>();
        let Some(photo) = input.and_then(|input| input.files()?.get(0)) else {
            return;
        };
        let dispatch = dispatch.clone();
        worker_client::photo(photo, move |facts| dispatch.emit(Action::PhotoRead(facts)));
    });
    let message = message.unwrap_or(INVITATION).to_owned();
    html! {
        <div class="photo">
            <label class="wide" for="photo">{ "Read from a photo" }</label>
            <input id="photo" type="file" accept={PICTURE_FILES} {onchange} />
            <p class="after" role="status">{ message }</p>
        </div>
    }
}

//! A typed value: a label, a box, and a plain sentence when it cannot be read.
//!
//! What is typed stays as typed; only what can be read goes on, so the last
//! good answer stands while a number is being changed.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use super::choice::said;
use super::state::Action;
use super::tap::Send;

/// What a field shows and reports.
#[derive(Properties, PartialEq)]
pub struct FieldProps {
    /// Identifies the field in the document.
    pub id: AttrValue,
    /// Label.
    pub label: AttrValue,
    /// Unit shown behind the box.
    #[prop_or_default]
    pub unit: AttrValue,
    /// The value as it would be typed.
    pub value: AttrValue,
    /// Reads what is typed, or says what is wrong.
    pub read: Callback<String, Result<Action, String>>,
    /// Where what was read is reported.
    pub send: Send,
    /// Which keys the phone offers.
    #[prop_or(AttrValue::Static("decimal"))]
    pub keys: AttrValue,
    /// Whether the box is ready to type in as soon as it appears.
    #[prop_or_default]
    pub ready: bool,
}

/// A typed value.
#[component]
pub fn Field(props: &FieldProps) -> Html {
    let typed = use_state(|| None::<(String, Option<String>)>);
    let input = use_node_ref();
    {
        // A value that changed elsewhere replaces a text that was read well.
        let typed = typed.clone();
        use_effect_with(props.value.clone(), move |_| {
            if typed.as_ref().is_some_and(|(_, wrong)| wrong.is_none()) {
                typed.set(None);
            }
        });
    }
    {
        let (input, ready) = (input.clone(), props.ready);
        use_effect_with((), move |()| {
            if ready && let Some(element) = input.cast::<HtmlInputElement>() {
                // a box that cannot take the focus is still there to be tapped
                let _ = element.focus();
                element.select();
            }
        });
    }
    let oninput = Callback::from({
        let (typed, read, send) = (typed.clone(), props.read.clone(), props.send.clone());
        move |event: InputEvent| {
            let Some(element) = event.target_dyn_into::<HtmlInputElement>() else {
                return;
            };
            let text = element.value();
            let wrong = match read.emit(text.clone()) {
                Ok(action) => {
                    send.emit(action);
                    None
                }
                Err(wrong) => Some(wrong),
            };
            typed.set(Some((text, wrong)));
        }
    });
    let onblur = {
        let typed = typed.clone();
        move |_| {
            if typed.as_ref().is_some_and(|(_, wrong)| wrong.is_none()) {
                typed.set(None);
            }
        }
    };
    let (text, wrong) = match (*typed).clone() {
        Some((text, wrong)) => (AttrValue::from(text), wrong),
        None => (props.value.clone(), None),
    };
    let id = &props.id;
    let told = format!("{id}-told");
    html! {
        <div class="field">
            <label for={id.clone()}>{ &props.label }</label>
            <span class="box">
                <input
                    ref={input}
                    id={id.clone()}
                    type="text"
                    inputmode={props.keys.clone()}
                    autocomplete="off"
                    autocapitalize="off"
                    spellcheck="false"
                    maxlength="60"
                    value={text}
                    aria-invalid={said(wrong.is_some())}
                    aria-describedby={told.clone()}
                    {oninput}
                    {onblur}
                />
                if !props.unit.is_empty() {
                    <span class="unit" aria-hidden="true">{ &props.unit }</span>
                }
            </span>
            <p id={told} class="told" role="status">{ wrong.unwrap_or_default() }</p>
        </div>
    }
}

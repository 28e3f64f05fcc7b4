//! A typed value: a label, a box, and a plain sentence when it cannot be read.
//!
//! What is typed stays as typed; only what can be read goes on, so the last
//! good answer stands while a number is being changed.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use super::element::said;
use super::state::Action;
use super::tap::Send;

/// Reads what is typed, or says what is wrong with it.
pub type Read = Callback<String, Result<Action, String>>;

/// What a field shows.
pub struct Field {
    /// Identifies the field in the document.
    pub id: &'static str,
    /// Label.
    pub label: &'static str,
    /// Unit shown behind the box; may be empty.
    pub unit: &'static str,
    /// The value as it would be typed.
    pub value: String,
    /// Whether the phone offers digits only.
    pub digits: bool,
    /// Whether the box is ready to type in as soon as it appears.
    pub ready: bool,
}

/// A typed value: `read` makes an action of it, which is reported.
pub fn field(field: Field, read: Read, send: &Send) -> Html {
    let Field {
        id,
        label,
        unit,
        value,
        digits,
        ready,
    } = field;
    html! { <Typed {id} {label} {unit} {value} {digits} {ready} {read} send={send.clone()} /> }
}

#[derive(Properties, PartialEq)]
struct TypedProps {
    id: AttrValue,
    label: AttrValue,
    unit: AttrValue,
    value: AttrValue,
    digits: bool,
    ready: bool,
    read: Read,
    send: Send,
}

/// The box, what is typed in it, and what is wrong with that.
#[component]
fn Typed(props: &TypedProps) -> Html {
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
                    inputmode={if props.digits { "decimal" } else { "text" }}
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

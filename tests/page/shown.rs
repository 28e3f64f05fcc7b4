//! What the page shows and takes back, as several tests need it.

use super::phone::Phone;

impl Phone {
    /// The focal length in use, under How long?.
    pub async fn focal_length(&self) -> String {
        self.text("[aria-label='focal length'] .step-word").await
    }

    /// The notes of the screen, all of them unfolded.
    pub async fn notes(&self) -> String {
        self.wait_for_rest().await;
        self.run(
            "for (const note of document.querySelectorAll('.notes details')) note.open = true",
        )
        .await;
        self.text(".notes").await
    }

    /// The night on the strip.
    pub async fn night_shown(&self) -> String {
        self.text(".strip .where .quiet").await
    }

    /// The time on the strip.
    pub async fn time_shown(&self) -> String {
        self.text(".strip .clock").await
    }

    /// The strip tells the night with these words.
    pub async fn wait_for_night(&self, night: &str) {
        let told =
            format!("document.querySelector('.strip .where .quiet').innerText === '{night}'");
        self.wait_until(night, &told).await;
    }

    /// Takes back the last edit, under More.
    pub async fn undo(&self) {
        self.show("more").await;
        self.tap("#undo").await;
    }

    /// Makes the edit again that was taken back, under More.
    pub async fn redo(&self) {
        self.show("more").await;
        self.tap("#redo").await;
    }
}

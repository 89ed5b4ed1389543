//! The quote in a browser: a whole job by keyboard alone, on a phone's width, with scripts off; and how
//! many sheets the page prints.

use base64::Engine as _;
use fantoccini::key::Key;
use serde_json::json;

use crate::seat::Seat;

/// Comes to a box by Tab and types into it what is to stand there.
async fn fill(seat: &Seat, name: &str, text: &str) {
    seat.tab_to(&format!("[name=\"{name}\"]")).await;
    // Tab into a box chooses all that stands in it.
    seat.keys(&[char::from(Key::Delete)]).await;
    seat.types(text).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn from_habits_to_a_numbered_sheet_by_keyboard_without_scripts() {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    seat.scripts(false).await;

    // How she quotes, and a price for the zip.
    seat.goto("/settings/quote").await;
    fill(&seat, "quote/currency", "usd").await;
    fill(&seat, "quote/rate", "22").await;
    fill(&seat, "quote/overhead", "6").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('.said')?.textContent === 'Kept.'")
        .await;
    seat.goto("/settings/prices").await;
    fill(&seat, "name", "Zip").await;
    fill(&seat, "price", "4.50").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('.pricelist')?.textContent.includes('4.50 USD')")
        .await;

    // The order's quote begins from its pattern; what is missing is asked for and led to.
    seat.goto("/orders/9001/quote").await;
    assert_eq!(seat.text("#comes-h").await, "Still to fill in");
    fill(&seat, "goods/0/amount", "2 5/8").await;
    fill(&seat, "goods/0/each", "lots").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('#faults li a')").await;
    let typed = seat
        .js("document.querySelector('[name=\"goods/0/each\"]').value")
        .await;
    assert_eq!(typed, "lots");
    assert_eq!(seat.sideways().await, 0);
    fill(&seat, "goods/0/each", "28").await;
    fill(&seat, "goods/2/each", "2.20").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('.said')?.textContent === 'Kept.'")
        .await;
    assert!(seat.text(".reckoned .price").await.contains("USD"));

    // Given: its sheet, numbered, without an inside figure.
    seat.tab_to("button[value=give]").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("location.pathname.endsWith('/quotes/1')").await;
    let sheet = seat.text(".letterpage").await;
    for hidden in ["Margin", "Overhead", "Waste"] {
        assert!(!sheet.contains(hidden), "{hidden} in {sheet}");
    }
    assert_eq!(seat.sideways().await, 0);

    // The page prints on one sheet, of either paper, without what is only for the screen.
    for (width, height) in [(8.27, 11.69), (8.5, 11.0)] {
        let printed = seat
            .devtools(
                "Page.printToPDF",
                json!({ "paperWidth": width, "paperHeight": height }),
            )
            .await;
        let bytes = printed["data"].as_str().expect("a file");
        let bytes = base64::engine::general_purpose::STANDARD
            .decode(bytes)
            .expect("base64");
        let text = String::from_utf8_lossy(&bytes);
        let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
        assert_eq!(pages, 1, "sheets of {width} by {height} in");
    }

    // A deposit, by keyboard.
    seat.goto("/orders/9001/quote/paid").await;
    fill(&seat, "money", "100").await;
    seat.keys(&[char::from(Key::Enter)]).await;
    seat.until("document.querySelector('.entries')?.textContent.includes('100.00 USD')")
        .await;
    assert_eq!(seat.sideways().await, 0);
    assert!(seat.console().await.iter().all(|m| m.contains("422")));
}

//! A new client comes and is measured: by keyboard alone, on a phone's width, with scripts off.

use std::time::{Duration, Instant};

use fantoccini::key::Key;

use crate::seat::{PATIENCE, Seat, within};

const ENTER: char = '\u{E007}';

/// Where the page is, with what it asks.
async fn whole_address(seat: &Seat) -> String {
    let said = seat.js("location.pathname + location.search").await;
    said.as_str().unwrap_or_default().to_owned()
}

/// Enters a client and begins her card, with the keyboard only; the first measure is then in the hand.
async fn begin(seat: &Seat, name: &str) {
    seat.goto("/clients").await;
    seat.tab_to("a[href='/clients/new']").await;
    seat.keys(&[ENTER]).await;
    seat.until("location.pathname === '/clients/new' && document.readyState === 'complete'")
        .await;
    seat.tab_to("#f-name").await;
    seat.types(name).await;
    seat.keys(&[ENTER]).await;
    seat.until("/^\\/clients\\/\\d+$/.test(location.pathname)")
        .await;
    assert!(seat.text("h1").await.contains(name));
    seat.tab_to("a[href$='/cards/new']").await;
    seat.keys(&[ENTER]).await;
    seat.until("location.pathname.endsWith('/cards/new') && document.readyState === 'complete'")
        .await;
    seat.tab_to("#f-foundation").await;
    seat.types("her shaper").await;
    seat.keys(&[ENTER]).await;
    seat.until("/\\/cards\\/\\d+$/.test(location.pathname)")
        .await;
}

/// Catches a job that needs a mouse: entering her, beginning the card, three measures with Enter, an
/// eighth with the arrows, a question accepted.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn she_is_measured_by_keyboard_alone() {
    let seat = Seat::new().await;
    begin(&seat, "Ines Halloway").await;
    // The first box has the focus already.
    seat.until("document.activeElement.id === 'r1'").await;
    seat.types("64 1/2").await;
    seat.until("document.querySelector('.echo').textContent.includes('163')")
        .await;
    seat.keys(&[ENTER]).await;
    seat.until("location.search.includes('m=waist')").await;
    seat.until("document.activeElement.id === 'r1'").await;
    // The inch by arrows: 27, then three eighths.
    seat.types("27").await;
    seat.tab_to(".inch input").await;
    let right = char::from(Key::Right);
    seat.keys(&[right, right, right]).await;
    seat.until("document.querySelector('#r1').value === '27 3/8'")
        .await;
    seat.until("document.querySelector('.echo').textContent.includes('69.5')")
        .await;
    seat.tab_to("button[form=open]").await;
    seat.keys(&[ENTER]).await;
    seat.until("location.search.includes('m=high-hip')").await;
    assert!(
        seat.js("document.body.textContent.includes('Two taken')")
            .await
            == true
    );
    // A first reading and one that does not agree: a third is asked for.
    seat.until("document.activeElement.id === 'r1'").await;
    seat.types("36").await;
    seat.tab_to("#r2").await;
    seat.types("38").await;
    seat.keys(&[ENTER]).await;
    seat.until("!!document.querySelector('#r3')").await;
    seat.until("document.activeElement.id === 'r3'").await;
    seat.types("36 1/8").await;
    seat.keys(&[ENTER]).await;
    seat.until("location.search.includes('m=hip')").await;
    assert!(seat.console().await.is_empty());
}

/// Catches a job that needs scripts: the same with all of them off, the eighth sent with the form.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn she_is_measured_with_scripts_off_on_a_phone() {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    begin(&seat, "Odile Marchetti").await;
    let card = seat.path().await;
    seat.scripts(false).await;
    seat.goto(&format!("{card}?m=waist")).await;
    seat.tab_to("#r1").await;
    seat.types("27").await;
    seat.tab_to(".inch input").await;
    let right = char::from(Key::Right);
    seat.keys(&[right, right, right]).await;
    seat.tab_to("button[form=open]").await;
    seat.keys(&[ENTER]).await;
    let html = wait_for(&seat, "m=high-hip").await;
    assert!(html.contains("m=high-hip"), "{html}");
    seat.goto(&format!("{card}?m=waist")).await;
    seat.scripts(true).await;
    seat.goto(&format!("{card}?m=waist")).await;
    seat.until("document.querySelector('#r1').value === '27 3/8'")
        .await;
}

/// Waits until the address holds a text, without the page's scripts.
async fn wait_for(seat: &Seat, text: &str) -> String {
    let end = Instant::now() + PATIENCE;
    loop {
        let url = within(seat.browser.current_url())
            .await
            .expect("an address")
            .to_string();
        if url.contains(text) {
            return url;
        }
        assert!(Instant::now() < end, "{url} is open, and never {text}");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
}

/// Catches a card page that scrolls sideways, a control without a name, and what axe-core finds, by day
/// and by lamp, with a question on it and two readings.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_card_holds_at_every_width() {
    let seat = Seat::new().await;
    begin(&seat, "Ines Halloway").await;
    let card = seat.path().await;
    let client = card.split("/cards").next().unwrap_or_default().to_owned();
    for (measure, reading) in [
        ("height", "64"),
        ("waist", "28"),
        ("hip", "38"),
        ("knee", "14 1/2"),
        ("waist-to-knee", "23 1/2"),
        ("waist-to-floor", "41 1/2"),
        ("thigh", "23"),
        ("waist-to-hip", "22 1/4"),
    ] {
        seat.goto(&format!("{card}?m={measure}")).await;
        seat.until("document.activeElement.id === 'r1'").await;
        seat.types(reading).await;
        seat.keys(&[ENTER]).await;
        seat.until("location.search.includes('said=kept')").await;
    }
    assert!(whole_address(&seat).await.contains("m=waist-to-hip"));
    let pages = [
        ("card", format!("{card}?m=waist-to-hip")),
        ("card-knee", format!("{card}?m=both-knees")),
        ("card-head", format!("{card}/head")),
        ("card-split", format!("{card}/split")),
        ("client", client.clone()),
        ("client-edit", format!("{client}/edit")),
        ("client-double", format!("{client}/double")),
    ];
    let mut faults = Vec::new();
    seat.console().await;
    for (name, address) in &pages {
        for (width, height) in [(320, 640), (360, 740), (768, 1024), (1280, 800)] {
            for lamp in [false, true] {
                seat.size(width, height).await;
                seat.lamp(lamp).await;
                seat.goto(address).await;
                let place = format!(
                    "{name} at {width} px by {}",
                    if lamp { "lamp" } else { "day" }
                );
                let over = seat.sideways().await;
                if over != 0 {
                    faults.push(format!("{place}: {over} px to scroll sideways"));
                }
                faults.extend(
                    seat.console()
                        .await
                        .into_iter()
                        .map(|m| format!("{place}: {m}")),
                );
                if !lamp {
                    faults.extend(
                        seat.nameless()
                            .await
                            .into_iter()
                            .map(|r| format!("{place}: a {r} has no name")),
                    );
                }
                if matches!(width, 320 | 1280) {
                    faults.extend(
                        seat.axe()
                            .await
                            .into_iter()
                            .map(|v| format!("{place}: {v}")),
                    );
                }
                if std::env::var_os("ELLWAND_PICTURES").is_some() {
                    let light = if lamp { "lamp" } else { "day" };
                    seat.picture(&format!("{name}-{width}-{light}")).await;
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    // The likely value is taken with the keyboard.
    seat.size(1280, 800).await;
    seat.goto(&format!("{card}?m=waist-to-hip")).await;
    seat.tab_to("button[value=take]").await;
    seat.keys(&[ENTER]).await;
    seat.until("!location.search.includes('waist-to-hip')")
        .await;
    seat.goto(&format!("{card}?m=waist-to-hip")).await;
    seat.until("document.querySelector('#r1').value === '8 3/4'")
        .await;
}

//! Methods in a browser: read, copied, written on with notes that follow the hand, kept, and opened from
//! someone's file; by keyboard alone, with scripts off, on a phone's width.

use crate::seat::Seat;

const ENTER: char = '\u{E007}';

/// Copies a shipped method by keyboard, and stands at its desk.
async fn copied(seat: &Seat, called: &str) {
    seat.goto("/methods").await;
    seat.tab_to("a[href='/methods/plain-skirt']").await;
    seat.keys(&[ENTER]).await;
    seat.until(
        "location.pathname === '/methods/plain-skirt' && document.readyState === 'complete'",
    )
    .await;
    seat.tab_to("#f-copy").await;
    // Coming by Tab into a box, a browser selects what stands in it.
    seat.types(called).await;
    seat.keys(&[ENTER]).await;
    seat.until("location.pathname.endsWith('/edit') && document.readyState === 'complete'")
        .await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn notes_and_drawing_follow_the_text_and_a_note_is_mended_by_keyboard() {
    let seat = Seat::new().await;
    copied(&seat, "My plain one").await;
    assert_eq!(seat.text("h1").await, "My plain one");
    assert_eq!(seat.text("#notes-h").await, "Nothing to put right");
    seat.until("document.querySelector('.writing.rolls')").await;
    // A slip of the pen, typed at the end of the text.
    seat.tab_to("#f-text").await;
    seat.js("(() => { const t = document.getElementById('f-text'); const at = t.value.indexOf('(hip') + 4; t.setSelectionRange(at, at); return at; })()")
        .await;
    seat.types("p").await;
    seat.until("document.querySelector('#notes-h').textContent === 'One note'")
        .await;
    assert_eq!(
        seat.js("document.querySelectorAll('.lines-no .has').length")
            .await,
        1
    );
    assert_eq!(
        seat.js("document.getElementById('heard').textContent")
            .await,
        "One note"
    );
    // The button of the note writes what was meant, and the focus is back in the text.
    seat.tab_to(".notes [data-with]").await;
    seat.keys(&[ENTER]).await;
    seat.until("document.querySelector('#notes-h').textContent === 'Nothing to put right'")
        .await;
    assert_eq!(seat.js("document.activeElement.id").await, "f-text");
    assert_eq!(
        seat.js("document.querySelectorAll('.lines-no .has').length")
            .await,
        0
    );
    // Typed fast: what is shown at the end belongs to the last letter.
    seat.js("(() => { const t = document.getElementById('f-text'); t.setSelectionRange(t.value.length, t.value.length); return 0; })()")
        .await;
    seat.types("points\nodd: wherever\n").await;
    seat.until("document.querySelector('#notes-h').textContent.includes('note')")
        .await;
    seat.tab_to("button[value='keep']").await;
    seat.keys(&[ENTER]).await;
    seat.until("location.search.includes('said=kept') && document.querySelector('.said').textContent === 'Kept.'")
        .await;
    assert!(seat.text(".notes").await.contains("no paper is made until"));
    assert!(seat.console().await.is_empty());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn with_scripts_off_on_a_phone_it_is_written_mended_and_kept() {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    copied(&seat, "Hers").await;
    seat.scripts(false).await;
    seat.goto("/methods/hers/edit").await;
    assert_eq!(seat.sideways().await, 0);
    seat.tab_to("#f-text").await;
    seat.types("uprigts\n").await;
    seat.tab_to("button[value='look']").await;
    seat.keys(&[ENTER]).await;
    seat.says("#notes-h", "note").await;
    seat.tab_to("button[value='keep']").await;
    seat.keys(&[ENTER]).await;
    seat.says(".said", "Kept.").await;
    // Back to the first text.
    seat.goto("/methods/hers/history").await;
    seat.tab_to(".texts li:last-child a").await;
    seat.keys(&[ENTER]).await;
    assert_eq!(seat.sideways().await, 0);
    seat.tab_to("main form button").await;
    seat.keys(&[ENTER]).await;
    seat.says(".said", "Kept.").await;
    seat.goto("/methods/hers/edit").await;
    assert_eq!(seat.text("#notes-h").await, "Nothing to put right");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_desk_and_someone_s_file_hold_at_every_width_by_day_and_by_lamp() {
    let seat = Seat::new().await;
    copied(&seat, "Hers").await;
    let mut faults = Vec::new();
    for (name, address) in [
        ("desk", "/methods/hers/edit"),
        ("history", "/methods/hers/history"),
    ] {
        for (width, height) in [(320, 640), (360, 740), (768, 1024), (1280, 800)] {
            for lamp in [false, true] {
                seat.size(width, height).await;
                seat.lamp(lamp).await;
                seat.goto(address).await;
                let place = format!("{name} at {width} px");
                if seat.sideways().await != 0 {
                    faults.push(format!("{place} can be scrolled sideways"));
                }
                if matches!(width, 320 | 1280) {
                    faults.extend(
                        seat.axe()
                            .await
                            .into_iter()
                            .map(|v| format!("{place}: {v}")),
                    );
                }
                faults.extend(
                    seat.nameless()
                        .await
                        .into_iter()
                        .map(|r| format!("{place}: a {r} has no name")),
                );
            }
        }
    }
    // Someone's text with what a browser would run: it is text.
    seat.size(1280, 800).await;
    seat.goto("/methods/open").await;
    seat.tab_to("#f-paste").await;
    seat.types("method \"<img src=x onerror=alert(1)>\"\ncard\nhip\n")
        .await;
    seat.tab_to("main form button").await;
    seat.keys(&[ENTER]).await;
    seat.until("document.querySelector('h1').textContent.includes('onerror')")
        .await;
    assert_eq!(
        seat.js("document.querySelectorAll('main img').length")
            .await,
        0
    );
    faults.extend(seat.axe().await);
    faults.extend(seat.console().await);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

//! Whole jobs as she does them: on a phone's width, with scripts off, by keyboard alone.

use fantoccini::key::Key;

use crate::seat::Seat;

fn key(key: Key) -> [char; 1] {
    [char::from(key)]
}

/// A seat on a phone without scripts.
async fn seated() -> Seat {
    let seat = Seat::new().await;
    seat.size(360, 740).await;
    seat.scripts(false).await;
    seat
}

/// Comes to a place by Tab and presses it.
async fn press(seat: &Seat, selector: &str) {
    seat.tab_to(selector).await;
    seat.keys(&key(Key::Enter)).await;
}

/// Enters a client; the path of her page.
async fn enter(seat: &Seat, name: &str) -> String {
    seat.goto("/clients/new").await;
    seat.tab_to("#f-name").await;
    seat.types(name).await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("h1", name).await;
    seat.path().await
}

/// Erases the client whose page is open.
async fn erase(seat: &Seat, name: &str) {
    press(seat, "a[href$='/erase']").await;
    seat.says("h1", &format!("Erase {name}?")).await;
    seat.tab_to("input[name=name]").await;
    seat.types(name).await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("main", "She is erased.").await;
}

/// Would catch a fitting that can't be written down without a mouse or scripts; halves of what was pinned
/// that are rounded to another number; a pin on her left that is told for both; an old version that is lost.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn what_is_pinned_on_her_left_becomes_a_correction_and_the_old_version_stays() {
    let seat = seated().await;
    seat.goto("/orders/9001/fittings").await;
    press(&seat, "form[action='/orders/9001/fittings'] button").await;
    seat.says("h1", "Fitting").await;
    let fitting = seat.path().await;
    // Where: the side of the front.
    seat.tab_to("#pin select[name=at]").await;
    seat.types("Front, s").await;
    press(&seat, "#pin form[method=get] button").await;
    seat.says("#pin", "What was done").await;
    // Three eighths in all, along the whole of it, on her left only.
    for place in ["start", "end"] {
        seat.tab_to(&format!("input[name={place}]")).await;
        seat.types("3/8").await;
    }
    seat.tab_to("input[name=counted]").await;
    seat.keys(&key(Key::Down)).await;
    seat.tab_to("input[name=side]").await;
    seat.keys(&key(Key::Down)).await;
    press(&seat, "#pin form[action$='/pins'] button").await;
    seat.says("main", "3⁄8 in in all").await;
    seat.says("main", "her left only").await;
    seat.says(
        "main",
        "Each edge moves 3⁄16 in at most; round her that is 3⁄8 in.",
    )
    .await;
    assert_eq!(seat.sideways().await, 0);
    press(&seat, "form[action$='/correct'] button").await;
    seat.says("main", "It became a correction over the draft.")
        .await;
    seat.says("main", "on her left only").await;
    // The version that was fitted opens as it was: one back, for both sides of her.
    press(&seat, "a[href='/orders/9001/versions/1']").await;
    seat.says("h1", "Version 1").await;
    let sides = "document.querySelector('main').textContent.includes('Back, her left')";
    assert_eq!(seat.js(sides).await, false);
    seat.goto("/orders/9001/draft").await;
    assert_eq!(seat.js(sides).await, true);
    // Taken off, the draft is as before.
    seat.goto(&fitting).await;
    press(&seat, "form[action$='/off'] button").await;
    seat.says("main", "None. A redraft keeps every one").await;
}

/// Would catch an order without a card whose draft is a dead end, or that shows somebody else's numbers.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn an_order_without_a_card_leads_to_her_card() {
    let seat = seated().await;
    enter(&seat, "Lena Ilves").await;
    press(&seat, "a[href^='/orders/new']").await;
    seat.says("h1", "A new order for Lena Ilves").await;
    seat.tab_to("input[name=title]").await;
    seat.types("Plum skirt").await;
    seat.tab_to("select[name=method]").await;
    seat.types("Plain").await;
    press(&seat, "main form button.main").await;
    seat.says("h1", "Plum skirt").await;
    let order = seat.path().await;
    seat.goto(&format!("{order}/draft")).await;
    seat.says(".undrawn", "This order has no card yet.").await;
    assert_eq!(
        seat.js("document.querySelectorAll('#tray .n').length")
            .await,
        0
    );
    press(&seat, ".undrawn a").await;
    seat.says("h1", "From which card is it worked?").await;
    seat.says("main", "Begin a new card").await;
    // What is found of it is told in words.
    seat.goto("/search?q=plum%20skirt").await;
    seat.says("main", "Lena Ilves, Plum skirt").await;
}

/// Would catch an event whose other days stay behind, or that moves them unasked.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn the_wedding_moves_and_the_days_before_it_are_asked_for() {
    let seat = seated().await;
    seat.goto("/orders/9003").await;
    let last = "[...document.querySelectorAll(\"main a[href*='/days/']\")].pop()";
    let there = seat.js(&format!("{last}.getAttribute('href')")).await;
    let there = there.as_str().unwrap_or_default().to_owned();
    press(&seat, &format!("a[href='{there}']")).await;
    seat.says("h1", "The wedding").await;
    let now = "new Date(document.querySelector('input[name=on]').value).getTime()";
    let was = seat.js(now).await.as_f64().unwrap_or_default();
    // One day of the box is a press of the arrow.
    seat.tab_to("input[name=on]").await;
    seat.keys(&key(Key::Right)).await;
    seat.keys(&key(Key::Up)).await;
    let is = seat.js(now).await.as_f64().unwrap_or_default();
    assert!((is - was).abs() > 1.0, "{was} {is}");
    press(&seat, "main form button.main").await;
    seat.says("h1", "The wedding moves to").await;
    seat.says("main", "Second fitting").await;
    press(&seat, "main form button.main").await;
    seat.says("main", "Moved").await;
    assert_eq!(seat.sideways().await, 0);
}

/// Would catch someone erased by a slip of the hand, or found again after it.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn someone_is_erased_only_by_her_whole_name() {
    let seat = seated().await;
    enter(&seat, "Rosa Ilves").await;
    press(&seat, "a[href$='/erase']").await;
    seat.says("h1", "Erase Rosa Ilves?").await;
    seat.tab_to("input[name=name]").await;
    seat.types("Rosa").await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("h1", "Erase Rosa Ilves?").await;
    seat.tab_to("input[name=name]").await;
    seat.types(" Ilves").await;
    let typed = seat
        .js("document.querySelector('input[name=name]').value")
        .await;
    if typed != "Rosa Ilves" {
        seat.js("document.querySelector('input[name=name]').value = ''")
            .await;
        seat.types("Rosa Ilves").await;
    }
    seat.keys(&key(Key::Enter)).await;
    seat.says("main", "She is erased.").await;
    seat.goto("/search?q=rosa").await;
    seat.says("main", "Nothing has all of these words in it.")
        .await;
}

/// Would catch two entries that can't be made one without a mouse or scripts, or of which the other is
/// still found.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn who_is_in_the_book_twice_becomes_one() {
    let seat = seated().await;
    let other = enter(&seat, "Rosa I. Ilves").await;
    let one = enter(&seat, "Rosa Ilves").await;
    press(&seat, "a[href$='/double']").await;
    seat.says("h1", "Which other entry is Rosa Ilves too?")
        .await;
    // Who shares a word with her name stands first.
    let first = seat.js("document.querySelector(\"a[href*='?with=']\").textContent");
    assert_eq!(first.await, "Rosa I. Ilves");
    press(&seat, "a[href*='?with=']").await;
    seat.says("h1", "Make one of these two?").await;
    assert_eq!(seat.sideways().await, 0);
    press(&seat, "main form button.main").await;
    seat.says("main", "The two entries are one now.").await;
    seat.says("h1", "Rosa Ilves").await;
    assert_eq!(seat.path().await, one);
    seat.goto("/clients?q=ilves").await;
    let found = |path: &str| format!("!!document.querySelector(\"main a[href='{path}']\")");
    assert_eq!(seat.js(&found(&one)).await, true);
    assert_eq!(seat.js(&found(&other)).await, false);
}

/// Would catch a card that stays with the wrong sister, or that loses its readings on the way.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_card_that_is_her_sister_s_goes_to_her() {
    let seat = seated().await;
    let mara = enter(&seat, "Mara Ilves").await;
    press(&seat, "a[href$='/cards/new']").await;
    seat.tab_to("#f-foundation").await;
    seat.types("her shaper").await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("h1", "Mara Ilves\u{2019} card").await;
    seat.tab_to("#r1").await;
    seat.types("64 1/2").await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("main", "64\u{200a}1\u{2044}2").await;
    press(&seat, "a[href$='/split']").await;
    seat.says("h1", "Whose is card 1?").await;
    assert_eq!(seat.sideways().await, 0);
    seat.tab_to("#f-name").await;
    seat.types("Nell Ilves").await;
    seat.keys(&key(Key::Enter)).await;
    seat.says("main", "The card is with her now.").await;
    seat.says("h1", "Nell Ilves").await;
    seat.says("main", "1 measure").await;
    press(&seat, "a[href$='/cards/1']").await;
    seat.says("h1", "Nell Ilves\u{2019} card").await;
    seat.says("main", "64\u{200a}1\u{2044}2").await;
    seat.goto(&mara).await;
    seat.says("main", "Not measured yet.").await;
}

/// Would catch a backup that can't be taken away or put back without scripts, that does not hold all, or
/// that leaves in what came after it.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_backup_taken_away_as_a_file_is_restored() {
    let seat = seated().await;
    let before = enter(&seat, "Edda Ilves").await;
    seat.goto("/settings").await;
    press(&seat, "form[action='/settings/backup/file'] button").await;
    let file = seat.given("db").await;
    let after = enter(&seat, "Late Ilves").await;
    seat.goto("/settings").await;
    seat.choose("#backup-file", &file).await;
    press(&seat, "form[action='/settings/restore'] button").await;
    seat.says("h1", "This backup holds").await;
    assert_eq!(seat.sideways().await, 0);
    press(&seat, "form[action='/settings/restore/do'] button").await;
    seat.says(
        "main",
        "Restored. What was here before is in a backup of today.",
    )
    .await;
    seat.goto(&before).await;
    seat.says("h1", "Edda Ilves").await;
    seat.goto(&after).await;
    seat.says("h1", "There is no client").await;
}

/// Would catch someone who can't be given her data, or whose file can't be taken in again.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn she_is_taken_away_as_a_file_and_in_again() {
    let seat = seated().await;
    enter(&seat, "Ida Ilves").await;
    press(&seat, "a[href$='/erase']").await;
    seat.says("h1", "Erase Ida Ilves?").await;
    press(&seat, "form[action$='/export'] button").await;
    let file = seat.given("zip").await;
    press(&seat, "main a.quiet").await;
    seat.says("h1", "Ida Ilves").await;
    erase(&seat, "Ida Ilves").await;
    seat.goto("/settings").await;
    seat.choose("#client-file", &file).await;
    press(&seat, "form[action='/settings/import'] button").await;
    seat.says("main", "She is taken in, as she was kept in the file.")
        .await;
    seat.says("h1", "Ida Ilves").await;
}

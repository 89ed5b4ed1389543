//! A phone is paired, works with fewer rights, and is forgotten: by keyboard, on a phone's width, with
//! scripts off. 127.0.0.2 stands for the house: to a browser it is another computer.

use fantoccini::key::Key;

use crate::seat::Seat;

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_phone_is_paired_by_the_square_s_address_and_forgotten() {
    let seat = Seat::with(&["--house=127.0.0.2"]).await;
    let enter = [char::from(Key::Enter)];
    seat.scripts(false).await;
    seat.goto("/settings/phones").await;
    seat.tab_to("form[action$='/pair'] button").await;
    seat.keys(&enter).await;
    let link = seat.text("code").await;
    assert!(link.starts_with("http://127.0.0.2:"), "{link}");
    seat.picture("square").await;

    // The phone's side.
    seat.size(360, 740).await;
    seat.goto(&link).await;
    seat.says("h1", "Pair this phone").await;
    assert_eq!(seat.sideways().await, 0);
    assert_eq!(seat.nameless().await, [""; 0]);
    seat.picture("pair-360").await;
    seat.tab_to("input[name=name]").await;
    seat.types(" of Ada").await;
    seat.keys(&enter).await;
    seat.arrives("/").await;
    assert!(!seat.text("nav.words").await.contains("Settings"));
    let house = link.split("/pair").next().unwrap_or_default().to_owned();
    seat.goto(&format!("{house}/settings/phones")).await;
    seat.says("main", "at the computer").await;
    // The square was good once.
    seat.goto(&link).await;
    seat.tab_to("input[name=name]").await;
    seat.keys(&enter).await;
    seat.says("h1", "has been used").await;

    // At the computer it stands in the list, and is forgotten.
    seat.size(1280, 800).await;
    seat.goto("/settings/phones").await;
    seat.says(".leaders", "of Ada").await;
    seat.tab_to("form[action$='/forget'] button").await;
    seat.keys(&enter).await;
    seat.says(".said", "forgotten").await;
    seat.goto(&format!("{house}/")).await;
    seat.says("h1", "not paired").await;
}

/// Would catch a phone that can't be paired because its page asks whether it is signed in already: that
/// was so for each phone with scripts on that was given a name.
#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn a_phone_with_scripts_is_given_a_name_and_paired() {
    let seat = Seat::with(&["--house=127.0.0.2"]).await;
    let enter = [char::from(Key::Enter)];
    seat.goto("/settings/phones").await;
    seat.tab_to("form[action$='/pair'] button").await;
    seat.keys(&enter).await;
    let link = seat.text("code").await;
    seat.size(360, 740).await;
    seat.goto(&link).await;
    seat.tab_to("input[name=name]").await;
    seat.types(" of Ada").await;
    seat.keys(&enter).await;
    seat.arrives("/").await; // What a phone may not do is not offered to it.
    let house = link.split("/pair").next().unwrap_or_default().to_owned();
    seat.goto(&format!("{house}/orders/9001/paper")).await;
    seat.says("main", "made and printed at the computer").await;
    assert_eq!(
        seat.js("!document.querySelector('[formmethod=post]')")
            .await,
        true
    );
    for page in ["methods", "methods/plain-skirt"] {
        seat.goto(&format!("{house}/{page}")).await;
        let none = "![...document.querySelectorAll('main a')].some(a => /new$|open$|edit$|copy$|file$/.test(a.getAttribute('href')))";
        seat.until(none).await;
        assert_eq!(
            seat.js("document.querySelectorAll('main form[method=post]').length")
                .await,
            0
        );
    }
}

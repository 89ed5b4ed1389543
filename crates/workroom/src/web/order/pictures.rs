//! Pictures of an order: drawn afresh and made smaller before they are kept, so that what a phone
//! writes into a photograph (where it was taken, by what) is gone; asked for before they are kept.

use std::io::Cursor;
use std::sync::Arc;

use axum::extract::{Form, Multipart, Path, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use book::{Id, NewPicture, Of, OrderNo, Photos, PictureKind};
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder as _, ImageReader, Limits, Rgb, RgbImage};
use measure::Date;

use super::{Held, Sent, number, sent, unkept};
use crate::web::parts::day;
use crate::web::room::Room;
use crate::web::trouble::Trouble;

/// The longer side of what is kept, in picture points.
const SIDE: u32 = 1600;
/// No photograph is larger than this a side, and none may take more room than this while it is read.
const LARGEST: u32 = 16_000;
const MEMORY: u64 = 384 * 1024 * 1024;
/// How fine a JPEG is kept, of 100.
const FINE: u8 = 85;

/// Draws a picture afresh: turned as it was held, at most 1600 a side, on white, as a JPEG.
///
/// # Errors
/// That it is no picture that can be read, or too large; in a sentence.
pub(crate) fn afresh(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let unread = || {
        "This is no picture that can be read here. A JPEG, a PNG or a WebP can be kept.".to_owned()
    };
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|_| unread())?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(LARGEST);
    limits.max_image_height = Some(LARGEST);
    limits.max_alloc = Some(MEMORY);
    reader.limits(limits);
    let told = |e: image::ImageError| match e {
        image::ImageError::Limits(_) => {
            "This picture is too large to take in. Send it smaller.".to_owned()
        }
        _ => unread(),
    };
    let mut decoder = reader.into_decoder().map_err(told)?;
    let turned = decoder.orientation().ok();
    let mut picture = DynamicImage::from_decoder(decoder).map_err(told)?;
    if picture.width().max(picture.height()) > SIDE {
        picture = picture.resize(SIDE, SIDE, image::imageops::FilterType::Triangle);
    }
    if let Some(turned) = turned {
        picture.apply_orientation(turned);
    }
    let plain = on_white(&picture);
    let mut out = Vec::new();
    plain
        .write_with_encoder(JpegEncoder::new_with_quality(&mut out, FINE))
        .map_err(|_| unread())?;
    Ok(out)
}

/// What can be seen through lies on white.
fn on_white(picture: &DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.to_rgb8();
    }
    let seen = picture.to_rgba8();
    let mut plain = RgbImage::new(seen.width(), seen.height());
    for (from, to) in seen.pixels().zip(plain.pixels_mut()) {
        let [r, g, b, a] = from.0;
        let lie = |c: u8| {
            let mixed = u32::from(c) * u32::from(a) + 255 * (255 - u32::from(a));
            u8::try_from((mixed + 127) / 255).unwrap_or(255)
        };
        *to = Rgb([lie(r), lie(g), lie(b)]);
    }
    plain
}

/// What the form sent beside the picture, and the picture.
async fn taken(mut form: Multipart) -> Result<(Sent, Vec<u8>), Trouble> {
    let mut all = Sent::new();
    let mut bytes = Vec::new();
    let unclear = |e: axum::extract::multipart::MultipartError| {
        if e.status() == StatusCode::PAYLOAD_TOO_LARGE {
            Trouble::too_large(crate::web::limits::PHOTO)
        } else {
            Trouble::unclear("The picture did not arrive whole. Send it again.")
        }
    };
    while let Some(field) = form.next_field().await.map_err(unclear)? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == "file" {
            bytes = field.bytes().await.map_err(unclear)?.to_vec();
        } else if all.len() < 20 {
            let text = field.text().await.map_err(unclear)?;
            all.insert(name, text);
        }
    }
    Ok((all, bytes))
}

pub(super) async fn add(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    form: Multipart,
) -> Result<Response, Trouble> {
    let order = number(&order)?;
    let back = move |t: Trouble| t.back(format!("/orders/{order}#pictures"), "Back to the order");
    let (form, bytes) = taken(form).await.map_err(back)?;
    let drawn = if bytes.is_empty() {
        Err("Choose the picture.".to_owned())
    } else {
        room.paper(move || afresh(&bytes)).await.map_err(back)?
    };
    let today = room.today();
    let refused = room
        .book(move |book| {
            let row = book.order(order)?;
            if row.closed.is_some() {
                return Err(back(Trouble::from(book::Trouble::Closed)));
            }
            let client = book.client_by_id(row.client)?;
            let mut faults = Vec::new();
            let words = sent(&form, "words");
            if words.is_empty() {
                let says = "What does it show? It is read out to those who can’t see it.";
                faults.push(("words".to_owned(), says.to_owned()));
            }
            let of_her = sent(&form, "of") == "her";
            let agreed = form.contains_key("agreed");
            if of_her && client.about.photos != Photos::Yes && !agreed {
                let says = match client.about.photos {
                    Photos::No => "She said no to photographs. Ask her about this one first.",
                    _ => "Ask her first whether this photograph may be kept.",
                };
                faults.push(("agreed".into(), says.into()));
            }
            if let Err(says) = &drawn {
                faults.push(("file".into(), says.clone()));
            }
            let (true, Ok(bytes)) = (faults.is_empty(), drawn) else {
                return Ok(Some((Held::load(book, order, today)?, form, faults)));
            };
            let new = NewPicture {
                words: words.to_owned(),
                consent: if of_her {
                    consented(&client.about, agreed, today)
                } else {
                    String::new()
                },
                kind: PictureKind::Jpeg,
                bytes,
            };
            book.add_picture(Of::Order(order), &new)?;
            Ok(None)
        })
        .await?;
    match refused {
        Some((held, form, faults)) => unkept(&room, held, form, faults).await,
        None => Ok(Redirect::to(&format!("/orders/{order}?said=kept#pictures")).into_response()),
    }
}

/// Who agreed that a picture of her is kept, in words: as it was then, whatever she says later.
fn consented(about: &book::About, agreed: bool, today: Date) -> String {
    let on = day::long(today);
    let guardian = about.guardian.trim().trim_end_matches('.');
    let said = about.consent.trim();
    let stop = if said.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    if agreed && about.photos != Photos::Yes {
        return match guardian {
            "" => format!("She was asked about this one, and agreed, {on}."),
            them => format!("Asked about this one, and agreed, {on}: she, and {them}."),
        };
    }
    match (said, guardian) {
        ("", "") => format!("She had agreed to photographs when it was kept, {on}."),
        ("", them) => format!("Photographs were agreed to when it was kept, {on}, by {them}."),
        (said, _) => format!("{said}{stop} So it stood when it was kept, {on}."),
    }
}

fn picture_id(text: &str) -> Result<Id, Trouble> {
    Id::read(text).ok_or_else(|| Trouble::missing("such picture"))
}

/// Says otherwise what one shows, or takes it away.
pub(super) async fn press(
    State(room): State<Arc<Room>>,
    Path((order, picture)): Path<(String, String)>,
    Form(form): Form<Sent>,
) -> Result<Redirect, Trouble> {
    let order = number(&order)?;
    let id = picture_id(&picture)?;
    room.book(move |book| {
        let here = |o: OrderNo| format!("/orders/{o}?said=kept#pictures");
        if book.order(order)?.closed.is_some() {
            return Err(book::Trouble::Closed.into());
        }
        if !book.pictures(Of::Order(order))?.iter().any(|p| p.id == id) {
            return Err(Trouble::missing("such picture"));
        }
        match sent(&form, "do") {
            "drop" => book.drop_picture(id)?,
            _ if sent(&form, "words").is_empty() => {}
            _ => book.describe_picture(id, sent(&form, "words"))?,
        }
        Ok(Redirect::to(&here(order)))
    })
    .await
}

/// A picture by itself. It is shown as what it is and nothing else, and opens nothing. How long a browser
/// may keep it is not said here: as every page it is `no-store`, by the watch.
pub(super) async fn picture(
    State(room): State<Arc<Room>>,
    Path(picture): Path<String>,
) -> Result<Response, Trouble> {
    let id = picture_id(&picture)?;
    let kept = room.book(move |book| Ok(book.picture(id)?.kept)).await?;
    let mut headers = HeaderMap::new();
    let (kind, name) = match kept.kind {
        PictureKind::Jpeg => ("image/jpeg", "inline; filename=\"picture.jpg\""),
        PictureKind::Png => ("image/png", "inline; filename=\"picture.png\""),
    };
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(header::CONTENT_DISPOSITION, HeaderValue::from_static(name));
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static("default-src 'none'; frame-ancestors 'none'; sandbox"),
    );
    Ok((headers, kept.bytes).into_response())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    /// A photograph as a phone writes it: an EXIF segment (EXIF 2.32, tag 0x0112: 6, turned a quarter)
    /// with a word in it that must not be kept.
    fn photo(width: u32, height: u32) -> Vec<u8> {
        let mut jpeg = Vec::new();
        let plain = RgbImage::from_pixel(width, height, Rgb([180, 90, 60]));
        plain
            .write_with_encoder(JpegEncoder::new_with_quality(&mut jpeg, 90))
            .unwrap();
        let mut exif = b"Exif\0\0MM\0*\0\0\0\x08".to_vec();
        exif.extend(b"\0\x02");
        exif.extend(b"\x01\x12\0\x03\0\0\0\x01\0\x06\0\0");
        exif.extend(b"\x01\x0f\0\x02\0\0\0\x0c\0\0\0\x26");
        exif.extend(b"\0\0\0\0SECRETPHONE\0");
        let length = u16::try_from(exif.len() + 2).unwrap();
        let mut out = jpeg[..2].to_vec();
        out.extend([0xff, 0xe1]);
        out.extend(length.to_be_bytes());
        out.extend(exif);
        out.extend(&jpeg[2..]);
        out
    }

    /// Would catch a place or a phone's name that is kept, a picture that lies on its side, and one
    /// that fills the file.
    #[test]
    fn a_photograph_is_drawn_afresh() {
        let photo = photo(2400, 1200);
        assert!(photo.windows(11).any(|w| w == b"SECRETPHONE"));
        let kept = afresh(&photo).unwrap();
        assert!(!kept.windows(11).any(|w| w == b"SECRETPHONE"));
        assert!(!kept.windows(4).any(|w| w == b"Exif"));
        let again = image::load_from_memory(&kept).unwrap();
        assert_eq!((again.width(), again.height()), (800, 1600));
        // A small one is not blown up.
        let small = RgbImage::from_pixel(30, 20, Rgb([1, 2, 3]));
        let mut png = Cursor::new(Vec::new());
        small.write_to(&mut png, image::ImageFormat::Png).unwrap();
        let kept = afresh(png.get_ref()).unwrap();
        assert_eq!(image::load_from_memory(&kept).unwrap().width(), 30);
    }

    /// Would catch a page or a script that is kept as a picture.
    #[test]
    fn what_is_no_picture_is_not_kept() {
        for bytes in [
            &b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>1</script></svg>"[..],
            b"GIF89a",
            b"\xff\xd8\xff",
            b"",
        ] {
            assert!(afresh(bytes).is_err());
        }
    }

    /// Would catch what can be seen through turning black.
    #[test]
    fn what_can_be_seen_through_lies_on_white() {
        let clear = image::RgbaImage::from_pixel(8, 8, image::Rgba([0, 0, 0, 0]));
        let plain = on_white(&DynamicImage::ImageRgba8(clear));
        assert_eq!(plain.get_pixel(0, 0).0, [255, 255, 255]);
    }
}

//! Photos attached to a step: read, made anew without anything but the picture, and kept by their hash.

use super::walk::{Notice, after, page};
use crate::answers::give;
use crate::fault::Fault;
use crate::forms::FormFields;
use crate::guard::PHOTO_BODY_BYTES_MAX;
use crate::handle::Handle;
use crate::requests::{Envelope, PhotoForm, once};
use crate::visitor::{Visitor, is_ours};
use axum::extract::{DefaultBodyLimit, Multipart, Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use document::hex;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, ImageReader, Limits};
use sha2::{Digest, Sha256};
use std::io::Cursor;
use walk::Input;

/// Its longer side, in picture elements, as it is read.
const SIDE_READ_MAX: u32 = 12_000;
/// Memory that reading one may take.
const MEMORY_MAX: u64 = 256 << 20;
/// The longer side, as it is kept.
const SIDE_KEPT_MAX: u32 = 1_600;
/// Letters that say what it shows, at most.
const CAPTION_MAX: usize = 200;
/// Quality of the JPEG that is kept, of 100.
const QUALITY: u8 = 82;

pub(crate) fn limit() -> DefaultBodyLimit {
    DefaultBodyLimit::max(PHOTO_BODY_BYTES_MAX)
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(id): Path<String>,
    mut form: Multipart,
) -> Result<Response, Fault> {
    let mut fields = Vec::new();
    let mut photo = None;
    let unread = |error: axum::extract::multipart::MultipartError| match error.status().as_u16() {
        413 => Fault::TooLarge,
        _ => Fault::Unusable("The photo did not arrive whole. Send it again.".to_owned()),
    };
    while let Some(field) = form.next_field().await.map_err(unread)? {
        let name = field.name().unwrap_or_default().to_owned();
        // A photo belongs to whatever step the walk is at, wherever the page was.
        if name == "photo" && photo.is_none() {
            photo = Some(field.bytes().await.map_err(unread)?.to_vec());
        } else if name != "position" && fields.len() < 8 {
            fields.push((name, field.text().await.map_err(unread)?));
        }
    }
    let bytes = photo.unwrap_or_default();
    let fields = FormFields(once(fields)?);
    is_ours(&visitor, &fields.read::<Envelope>()?.csrf)?;
    handle
        .run(move |app| {
            let Some(kept) = made_anew(&bytes) else {
                return page(
                    app,
                    &visitor,
                    &id,
                    Notice::why("This is no photo that can be read", "Send a JPEG or PNG picture"),
                );
            };
            let hash = hex(Sha256::digest(&kept));
            // The photo first: a record never names one that is not there.
            let attends = app.walk_store(&id)?.attends(&id, &visitor.name, app.lock_ms)?;
            if attends {
                app.credentials().keep_photo(&hash, &kept)?;
            }
            let PhotoForm { key, caption } = fields.read()?;
            let caption: String = caption.chars().take(CAPTION_MAX).collect();
            let input = Input::Photo { photo: hash, caption };
            let outcome = give(app, &visitor, &id, &input, None, &key, None)?;
            after(app, &visitor, &id, String::new(), outcome)
        })
        .await
}

/// The picture alone, upright, no larger than needed: whatever else the file carried (place, device, hidden data) is left.
fn made_anew(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok()?;
    if !matches!(reader.format(), Some(ImageFormat::Jpeg | ImageFormat::Png)) {
        return None;
    }
    let mut limits = Limits::default();
    limits.max_image_width = Some(SIDE_READ_MAX);
    limits.max_image_height = Some(SIDE_READ_MAX);
    limits.max_alloc = Some(MEMORY_MAX);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().ok()?;
    let turned = image::ImageDecoder::orientation(&mut decoder).ok()?;
    let mut picture = DynamicImage::from_decoder(decoder).ok()?;
    picture.apply_orientation(turned);
    if picture.width().max(picture.height()) > SIDE_KEPT_MAX {
        picture = picture.thumbnail(SIDE_KEPT_MAX, SIDE_KEPT_MAX);
    }
    let mut kept = Vec::new();
    JpegEncoder::new_with_quality(&mut kept, QUALITY).encode_image(&picture.to_rgb8()).ok()?;
    Some(kept)
}

pub(crate) async fn show(
    State(handle): State<Handle>,
    _: Visitor,
    Path(hash): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let bytes = app.credentials().photo(&hash)?.ok_or(Fault::NotThere)?;
            Ok((
                [(header::CONTENT_TYPE, "image/jpeg"), (header::CACHE_CONTROL, "private, max-age=3600")],
                bytes,
            )
                .into_response())
        })
        .await
}

#[cfg(test)]
mod tests {
    use super::made_anew;
    use image::{DynamicImage, ImageFormat, RgbImage};
    use std::io::Cursor;

    fn picture(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        let picture = DynamicImage::ImageRgb8(RgbImage::from_pixel(width, height, image::Rgb([200, 30, 30])));
        picture.write_to(&mut bytes, format).expect("a picture");
        bytes.into_inner()
    }

    #[test]
    fn what_a_photo_carries_besides_the_picture_is_left() {
        let mut jpeg = picture(40, 20, ImageFormat::Jpeg);
        // An APP1 segment after the start marker (ISO/IEC 10918-1, B.1.1.3: memory), as cameras write the place into.
        let hidden = b"Exif\0\0 51.5 N 0.1 W";
        let length = u16::try_from(hidden.len() + 2).expect("short").to_be_bytes();
        let segment = [&[0xff, 0xe1][..], &length, hidden].concat();
        jpeg.splice(2..2, segment);
        let kept = made_anew(&jpeg).expect("a photo");
        assert!(!kept.windows(4).any(|window| window == b"Exif"));
        let small = image::load_from_memory(&kept).expect("a picture");
        assert_eq!((small.width(), small.height()), (40, 20));
    }

    #[test]
    fn large_ones_are_made_smaller_and_others_refused() {
        let kept = made_anew(&picture(3200, 200, ImageFormat::Png)).expect("a photo");
        let small = image::load_from_memory(&kept).expect("a picture");
        assert_eq!((small.width(), small.height()), (1600, 100));
        for other in
            [&b""[..], b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a", b"\xff\xd8\xff\xe0 cut"]
        {
            assert!(made_anew(other).is_none());
        }
    }
}

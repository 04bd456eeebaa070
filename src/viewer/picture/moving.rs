//! A picture that moves, in one file: the animation of PNG (W3C, Portable Network Graphics, third
//! edition, 2025), which browsers and mail play; who cannot play it shows its first frame.

use std::io::Write;

use super::Pixels;
use super::pixels::encoder;

/// A moving picture in writing.
pub struct Moving<W: Write> {
    writer: png::Writer<W>,
    with_cover: bool,
}

impl<W: Write> Moving<W> {
    /// Begins one of so many frames, pixels across and down, that goes round in so many
    /// milliseconds, without end.
    ///
    /// # Errors
    /// [`png::EncodingError`]: no frames, no size, or nothing that can be written to.
    pub fn begin(
        to: W,
        size: (u32, u32),
        frames: u32,
        round_ms: u16,
        with_cover: bool,
    ) -> Result<Self, png::EncodingError> {
        let mut encoder = encoder(to, size, with_cover);
        encoder.set_animated(frames, 0)?;
        let each = u32::from(round_ms) / frames.max(1);
        let each = u16::try_from(each).unwrap_or(u16::MAX);
        encoder.set_frame_delay(each.max(1), 1000)?;
        Ok(Self {
            writer: encoder.write_header()?,
            with_cover,
        })
    }

    /// Adds the next frame.
    ///
    /// # Errors
    /// [`png::EncodingError`]: it has another size, is one too many, or cannot be written.
    pub fn add(&mut self, frame: &Pixels) -> Result<(), png::EncodingError> {
        if self.with_cover {
            self.writer.write_image_data(&frame.each)
        } else {
            self.writer.write_image_data(&frame.colours())
        }
    }

    /// Ends it.
    ///
    /// # Errors
    /// [`png::EncodingError`]: frames are missing, or it cannot be written.
    pub fn end(self) -> Result<(), png::EncodingError> {
        self.writer.finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_are_read_back_in_their_order_and_time() {
        let frame = |value: u8| Pixels {
            size: (2, 1),
            each: vec![value, 0, 0, 255, 0, value, 0, 255],
        };
        let mut out = Vec::new();
        let mut moving = Moving::begin(&mut out, (2, 1), 3, 1200, false).unwrap();
        for value in [10, 20, 30] {
            moving.add(&frame(value)).unwrap();
        }
        moving.end().unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(out))
            .read_info()
            .unwrap();
        let about = reader.info().animation_control.unwrap();
        assert_eq!((about.num_frames, about.num_plays), (3, 0));
        for value in [10, 20, 30] {
            let mut back = vec![0; reader.output_buffer_size().unwrap()];
            reader.next_frame(&mut back).unwrap();
            assert_eq!(back, [value, 0, 0, 0, value, 0]);
            let frame = reader.info().frame_control.unwrap();
            assert_eq!((frame.delay_num, frame.delay_den), (400, 1000));
        }
    }
}

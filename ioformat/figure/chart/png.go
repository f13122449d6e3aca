package chart

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"fitcoil/ioformat/quantity"
)

// dotsPerInch of a PNG: at 800 pixels a figure is still shrunk, never blown up.
const dotsPerInch = 200

func (f *Figure) png(l *layout, fonts fonts, theme Theme) ([]byte, error) {
	palette := theme.palette()
	canvas := vgimg.NewWith(
		vgimg.UseWH(vg.Points(l.width), vg.Points(l.height)),
		vgimg.UseDPI(dotsPerInch),
		vgimg.UseBackgroundColor(palette.background),
	)
	paint(canvas, l, fonts, theme, false)
	var buf bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := encoder.Encode(&buf, canvas.Image()); err != nil {
		return nil, err
	}
	return f.describe(buf.Bytes()), nil
}

// describe puts the resolution, the title and the description into a PNG (W3C
// Portable Network Graphics, 11.3.4.3 pHYs, 11.3.3.4 iTXt) behind its header.
func (f *Figure) describe(image []byte) []byte {
	const header = 8 + 12 + 13 // signature, and the chunk IHDR
	out := append([]byte(nil), image[:header]...)
	const perMetre = dotsPerInch * 10000 / 254
	size := binary.BigEndian.AppendUint32(nil, perMetre)
	size = binary.BigEndian.AppendUint32(size, perMetre)
	out = chunk(out, "pHYs", append(size, 1))
	out = chunk(out, "iTXt", []byte("Title\x00\x00\x00\x00\x00"+quantity.Visible(f.Title)))
	out = chunk(out, "iTXt", []byte("Software\x00\x00\x00\x00\x00"+maker))
	out = chunk(out, "iTXt", []byte("Description\x00\x00\x00\x00\x00"+quantity.Visible(f.Alt)))
	return append(out, image[header:]...)
}

// chunk appends one chunk of a PNG.
func chunk(out []byte, kind string, data []byte) []byte {
	out = binary.BigEndian.AppendUint32(out, uint32(len(data)))
	begin := len(out)
	out = append(append(out, kind...), data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[begin:]))
}

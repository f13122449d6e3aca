package chart

import (
	"bytes"
	"image/color"
	"regexp"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"fitcoil/ioformat/quantity"
)

func (f *Figure) pdf(l *layout, fonts fonts, theme Theme) ([]byte, error) {
	canvas := newPDFCanvas(l)
	canvas.doc.SetTitle(quantity.Visible(f.Title), true)
	canvas.doc.SetCreator(maker, false)
	canvas.doc.SetSubject(quantity.Visible(f.Alt), true)
	canvas.doc.SetLang("en-GB")
	paint(canvas, l, fonts, theme, false)
	var buf bytes.Buffer
	if err := canvas.doc.Output(&buf); err != nil {
		return nil, err
	}
	return undated(buf.Bytes()), nil
}

// undated overwrites the dates in the document information by blanks of the
// same length, so that no offset moves and the same figure gives the same bytes.
func undated(pdf []byte) []byte {
	dates := regexp.MustCompile(`/(CreationDate|ModDate) \(D:[^)]*\)`)
	return dates.ReplaceAllFunc(pdf, func(date []byte) []byte {
		return bytes.Repeat([]byte(" "), len(date))
	})
}

// pdfCanvas writes a PDF of one page, whose text is text: any letter of the two faces,
// of which those used are embedded. Package vgpdf knows only Windows-1252, embeds whole
// faces, and takes colours multiplied with their opacity.
type pdfCanvas struct {
	vg.Canvas // nil: no figure turns, moves or stretches anything, or has an image
	doc       *fpdf.Fpdf
	width     vg.Length
	height    vg.Length
}

const pdfFamily = "Liberation"

func newPDFCanvas(l *layout) *pdfCanvas {
	size := fpdf.SizeType{Wd: l.width, Ht: l.height}
	c := &pdfCanvas{doc: fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: size}), width: vg.Points(l.width), height: vg.Points(l.height)}
	c.doc.SetCatalogSort(true)
	c.doc.SetMargins(0, 0, 0)
	c.doc.SetAutoPageBreak(false, 0)
	c.doc.AddUTF8FontFromBytes(pdfFamily, "", liberationsansregular.TTF)
	c.doc.AddUTF8FontFromBytes(pdfFamily, "B", liberationsansbold.TTF)
	c.doc.AddPage()
	c.doc.SetLineJoinStyle("round")
	return c
}

// Size returns that of the page.
func (c *pdfCanvas) Size() (w, h vg.Length) { return c.width, c.height }

// SetColor sets the colour of what follows.
func (c *pdfCanvas) SetColor(clr color.Color) {
	n := color.NRGBAModel.Convert(clr).(color.NRGBA)
	if t, ok := clr.(tone); ok {
		n = color.NRGBA(t)
	}
	r, g, b := int(n.R), int(n.G), int(n.B)
	c.doc.SetFillColor(r, g, b)
	c.doc.SetDrawColor(r, g, b)
	c.doc.SetTextColor(r, g, b)
	c.doc.SetAlpha(float64(n.A)/255, "Normal")
}

// SetLineWidth sets the width of what is stroked next.
func (c *pdfCanvas) SetLineWidth(w vg.Length) { c.doc.SetLineWidth(w.Points()) }

// SetLineDash sets the pattern of what is stroked next.
func (c *pdfCanvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	list := make([]float64, len(dashes))
	for i, d := range dashes {
		list[i] = d.Points()
	}
	c.doc.SetDashPattern(list, offset.Points())
}

// Stroke draws the outline of p.
func (c *pdfCanvas) Stroke(p vg.Path) { c.path(p, "D") }

// Fill fills p.
func (c *pdfCanvas) Fill(p vg.Path) { c.path(p, "F") }

// at turns a point of a canvas, whose y grows upwards, into one of the page.
func (c *pdfCanvas) at(p vg.Point) (x, y float64) {
	return p.X.Points(), (c.height - p.Y).Points()
}

func (c *pdfCanvas) path(p vg.Path, style string) {
	for _, s := range p {
		x, y := c.at(s.Pos)
		switch s.Type {
		case vg.MoveComp:
			c.doc.MoveTo(x, y)
		case vg.LineComp:
			c.doc.LineTo(x, y)
		case vg.CurveComp: // this package has cubic ones only
			x1, y1 := c.at(s.Control[0])
			x2, y2 := c.at(s.Control[len(s.Control)-1])
			c.doc.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
		case vg.CloseComp:
			c.doc.ClosePath()
		}
	}
	c.doc.DrawPath(style)
}

// FillString writes a text.
func (c *pdfCanvas) FillString(face font.Face, at vg.Point, text string) {
	style := ""
	if face.Font.Weight == stdfont.WeightBold {
		style = "B"
	}
	c.doc.SetFont(pdfFamily, style, face.Font.Size.Points())
	x, y := c.at(at)
	c.doc.Text(x, y, text)
}

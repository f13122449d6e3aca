package chart

import (
	"bytes"
	"fmt"
	"html"
	"image/color"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgsvg"

	"fitcoil/ioformat/quantity"
)

// svg draws an SVG document that may also stand inline in a page.
func (f *Figure) svg(l *layout, fonts fonts, theme Theme) ([]byte, error) {
	canvas := vgsvg.New(vg.Points(l.width), vg.Points(l.height))
	written := paint(canvas, l, fonts, theme, true)
	var buf bytes.Buffer
	if _, err := canvas.WriteTo(&buf); err != nil {
		return nil, err
	}
	_, body, found := strings.Cut(buf.String(), "<svg ")
	_, body, ended := strings.Cut(body, ">")
	if !found || !ended {
		return nil, fmt.Errorf("figure %q: no SVG came out", f.Name)
	}
	// any viewer has one of these, and the layout fits them all
	body = strings.ReplaceAll(body, "font-family:Liberation Sans;",
		"font-family:'Liberation Sans',Arial,Helvetica,sans-serif;")
	body = measured(body, written)
	if theme == Auto {
		body = follow(body)
	}
	return []byte(f.svgHead(l, theme) + body), nil
}

// measured gives every text the width that the layout gave it, so that a viewer
// with another font keeps to it.
func measured(body string, written []box) string {
	const element = `<text `
	pieces := strings.Split(body, element)
	for i, b := range written {
		pieces[i+1] = fmt.Sprintf(`textLength="%.4g" lengthAdjust="spacingAndGlyphs" %s`, b.right-b.left, pieces[i+1])
	}
	return strings.Join(pieces, element)
}

// svgHead opens the document with what a screen reader says of it.
func (f *Figure) svgHead(l *layout, theme Theme) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%gpt" height="%gpt" viewBox="0 0 %g %g"`,
		l.width, l.height, l.width, l.height)
	fmt.Fprintf(&b, ` role="img" aria-labelledby="%s-title %s-desc" stroke-linejoin="round"`, f.Name, f.Name)
	if theme == Auto {
		b.WriteString(` class="chart"`)
	}
	fmt.Fprintf(&b, ">\n<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>",
		f.Name, xmlText(f.Title), f.Name, xmlText(f.Alt))
	if theme == Auto {
		b.WriteString("\n" + themes())
	} else { // a file of its own
		b.WriteString("\n<metadata>" + maker + "</metadata>")
	}
	return b.String()
}

// xmlText escapes s; control characters have no place in XML.
func xmlText(s string) string { return html.EscapeString(quantity.Visible(s)) }

// colours lists the colours of a palette in a fixed order.
func (p *palette) colours() []color.NRGBA {
	return append([]color.NRGBA{p.background, p.ink, p.faint, p.grid, p.mist}, p.series...)
}

func hex(c color.NRGBA) string { return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B) }

// follow makes the colours of a light figure variables.
func follow(body string) string {
	light := Light.palette()
	var pairs []string
	for i, c := range light.colours() {
		pairs = append(pairs, ":"+hex(c), fmt.Sprintf(":var(--chart%d)", i))
	}
	return strings.NewReplacer(pairs...).Replace(body)
}

// themes sets those variables to the reader's choice; paper is light.
func themes() string {
	set := func(p palette) (s string) {
		for i, c := range p.colours() {
			s += fmt.Sprintf("--chart%d:%s;", i, hex(c))
		}
		return s
	}
	return "<style>svg.chart{" + set(Light.palette()) + "}" +
		"@media screen and (prefers-color-scheme:dark){svg.chart{" + set(Dark.palette()) + "}}</style>"
}

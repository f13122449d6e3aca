package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"path/filepath"
	"regexp"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Source tells where a result comes from and how to come by it again.
type Source struct {
	report.Source
	Command string // that makes this page
	Flags   string // those of the command that say how the log is fitted
	Version string // of fitcoil
	// Comments are those above the header of the log.
	Comments []string
	NewPart  NewPart
	Extra    report.Extra // what the fit was asked for besides
	Volts    float64      // at the top when the coil works [V]; 0 for unknown

	// Progress is told in how many steps the settings of the sliders are worked out,
	// and returns what to call after each; nil for no one to tell.
	Progress func(steps int) func()
}

// NewPart is what is known of a part that no reading has: relative to its value.
type NewPart struct {
	Tolerance   float64 // a bound
	Uncertainty float64 // standard
}

//go:embed page.html method.html
var parts embed.FS

var (
	//go:embed page.css
	style string
	//go:embed page.js
	script string
)

// content is all that the page shows, ready for its template.
type content struct {
	Source
	Title    string
	Head     *head // nil: the log has no comments in front
	Answer   report.Answer
	Dial     *dial
	Panel    *panel
	Coil     section
	Rest     []section     // cores, a hand, parts
	Drawn    *report.Table // the drawing against the readings
	Blocks   []block
	Checked  *block
	Priors   *report.Table // with what the fit makes of them
	Left     int           // priors that are too many
	Cite     string
	Quality  []string
	Warnings []string // what changes the answer, also of how the inputs were read
	Notes    []string

	Contradictions []string
	Gaps           []gap
	Next           []advice
	Figures        []drawing
	Undrawn        []undrawn
	Readings       readingsSection
	Result         *model.Result

	Policy string // content security policy
	Style  template.CSS
	Script template.JS
	Data   template.JS
}

type gap struct{ What, Remedy string }

// Write writes r as a page. It fails when w does.
func Write(w io.Writer, r *model.Result, src Source) error {
	c := &content{Source: src, Result: r, Title: filepath.Base(src.Log), Head: newHead(src.Comments), Drawn: report.Checks(r.Checks)}
	c.Priors, c.Left = report.MovedPriors(r)
	for _, s := range report.Quality(r) {
		c.Quality = append(c.Quality, sentence(s))
	}
	if src.Log == "-" {
		c.Title = "a log from standard input"
	}
	own := c.sort(sections(r))
	for _, f := range r.Findings {
		text := report.Warning(r, f)
		switch {
		case f.Undermines():
			c.Contradictions = append(c.Contradictions, sentence(text))
		case report.Warns(f):
			c.Warnings = append(c.Warnings, sentence(text))
		default:
			c.Notes = append(c.Notes, sentence(text))
		}
	}
	for _, w := range src.Warnings {
		c.Warnings = append(c.Warnings, ended(w))
	}
	for _, u := range r.Undetermined {
		what, remedy := report.Sentences(u)
		c.Gaps = append(c.Gaps, gap{sentence(what), sentence(remedy)})
	}
	plan := planFor(r, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}, src.NewPart.Uncertainty)
	c.Answer = report.Brief(r, plan, r.Parts())
	c.Next = advices(r, plan, src.NewPart.Uncertainty)
	c.Cite = c.cite()
	c.Readings = newReadings(r)
	c.Panel = newPanel(r, src.Progress)
	c.Dial = newDial(r, c.Panel)
	var err error
	if c.Blocks, err = blocks(r, own, src.Volts); err != nil {
		return err
	}
	if c.Checked, err = checked(r, src.Extra); err != nil {
		return err
	}
	if c.Figures, c.Undrawn, err = drawings(r); err != nil {
		return err
	}
	if err := c.dress(); err != nil {
		return err
	}
	return c.write(w)
}

// sort keeps sections of quantities, the coil's first, and returns those of blocks.
func (c *content) sort(list []section) (own []section) {
	c.Coil = list[0]
	for _, s := range list[1:] {
		if s.About != aboutQuantities {
			own = append(own, s)
		} else {
			c.Rest = append(c.Rest, s)
		}
	}
	return own
}

// dress adds style, script and data, and the policy that lets a browser run this
// script and load nothing at all.
func (c *content) dress() (err error) {
	c.Style = template.CSS(colours() + style)
	c.Policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
	if c.Panel == nil {
		return nil
	}
	c.Script = template.JS(script)
	hash := sha256.Sum256([]byte(script))
	c.Policy += fmt.Sprintf("; script-src 'sha256-%s'", base64.StdEncoding.EncodeToString(hash[:]))
	c.Data, err = c.Panel.data(c.Dial, c.NewPart)
	return err
}

// colours sets the palette of the figures for the reader's screen; paper is
// light.
func colours() string {
	set := func(t chart.Theme) string {
		c := t.Colours()
		return fmt.Sprintf("--paper:%s;--ink:%s;--faint:%s;--line:%s;--mist:%s;--plain:%s;--core:%s;--hand:%s;",
			c.Background, c.Ink, c.Faint, c.Grid, c.Mist, c.Series[0], c.Series[1], c.Series[2])
	}
	return ":root{color-scheme:light dark;" + set(chart.Light) + "}" +
		"@media screen and (prefers-color-scheme:dark){:root{" + set(chart.Dark) + "}}\n"
}

// write renders to memory first: half a page is worth nothing.
func (c *content) write(w io.Writer) error {
	t, err := template.New("page.html").Funcs(template.FuncMap{"keep": keeper(), "classed": func(class string, t *report.Table) titled { return titled{"", class, t} }}).ParseFS(parts, "page.html", "method.html")
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.Execute(&b, c); err != nil {
		return err
	}
	_, err = w.Write(bytes.Map(visible, b.Bytes()))
	return err
}

// visible replaces what no text of the page should still hold.
func visible(r rune) rune {
	if quantity.Hidden(r) && r != '\n' && r != '\t' {
		return '\ufffd'
	}
	return r
}

// keeper returns a function that keeps numbers together with their ± and unit,
// by no-break spaces.
func keeper() func(string) string {
	unit := regexp.MustCompile(`([0-9∞]) ((?:[fpnµmkMG]?(?:Hz|F|H|Ω|m|s²)|cm|%|ppm)(?:[^\pL]|$))`)
	sign := regexp.MustCompile(`([×+−]) ([0-9])`)
	return func(s string) string {
		s = sign.ReplaceAllString(s, "$1\u00a0$2")
		s = strings.ReplaceAll(s, "± ", "±\u00a0")
		s = strings.ReplaceAll(s, " ±", "\u00a0±")
		return unit.ReplaceAllString(s, "$1\u00a0$2")
	}
}

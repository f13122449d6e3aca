package page

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/chromium"
	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

// browser looks at a page as a person would.
type browser struct{ *chromium.Page }

// The page in a browser: nothing is loaded, no fault is told, the sliders give the
// numbers of the model, nothing runs off a small screen, and no figure is cut in
// print.
func TestPageInBrowser(t *testing.T) {
	b := browser{chromium.Open(t)}
	line, _ := demo(t)
	results := map[string]*model.Result{"lighthouse": line, "drawn": drawn(t), "whole": museum(t, true)}
	for _, name := range []string{"core always", "bare only"} {
		results[name], _ = fitted(t, logs()[name])
	}
	results["long names"], _ = fitted(t, longNames())
	for name, r := range results {
		file := filepath.Join(t.TempDir(), "page.html")
		must.Do(t, os.WriteFile(file, []byte(written(t, r)), 0o666))
		b.Screen(360, 740, true)
		b.Load(file)
		b.fits(name, 360)
		if p := newPanel(r, nil); p != nil {
			b.sliders(name, r, p)
		}
		if name == "lighthouse" {
			b.keys(r)
			b.types(r)
			b.prints(name)
		}
		if name == "lighthouse" || name == "long names" || name == "whole" {
			for _, width := range []int{800, 1400} {
				b.Screen(width, 1000, false)
				b.fits(name, width)
			}
		}
		b.quiet(name)
	}
}

// fits looks for what runs off the screen, with all details open too.
func (b browser) fits(name string, width int) {
	b.T.Helper()
	for _, open := range []bool{false, true} {
		var across int
		b.Evaluate(fmt.Sprintf(`document.querySelectorAll("details").forEach(d => d.open = %v); document.documentElement.scrollWidth`, open), &across)
		if across > width {
			var what string
			b.Evaluate(fmt.Sprintf(`[...document.querySelectorAll("body *")].filter(e => !e.closest(".wide") && e.getBoundingClientRect().right > %d).map(e => e.outerHTML.slice(0, 80)).slice(0, 3).join("\n")`, width), &what)
			b.T.Errorf("%s: %d pixels wide on a screen of %d, details open %v:\n%s", name, across, width, open, what)
		}
	}
	b.Evaluate(`document.querySelectorAll("details").forEach(d => d.open = false)`, nil)
	var squeezed string
	b.Evaluate(`[...document.querySelectorAll(".brief th")].filter(e => e.clientWidth < 60 && e.textContent.length > 8).map(e => e.textContent).join(", ")`, &squeezed)
	if squeezed != "" && width > 740 {
		b.T.Errorf("%s: on a screen of %d no word fits into the heads of the rows %s", name, width, squeezed)
	}
}

// shown is what the panel says.
type shown struct{ Hertz, Uncertainty, Text, About, Outside, Command string }

const showing = `(() => { const f = document.getElementById("try-frequency"); return {
	Hertz: f.dataset.hertz || "", Uncertainty: f.dataset.uncertainty || "", Text: f.textContent,
	About: document.getElementById("try-about").textContent, Outside: document.getElementById("try-outside").textContent,
	Command: document.getElementById("try-command").textContent } })()`

// sliders brings the panel to places all over by links, as a reader can.
func (b browser) sliders(name string, r *model.Result, p *panel) {
	b.T.Helper()
	rng := rand.New(rand.NewPCG(5, 1))
	pick := func(s *slider) float64 {
		steps := math.Floor((s.Max-s.Min)/s.Step + 1e-9)
		v := s.Min + s.at(math.Round(steps*rng.Float64()))
		if s != p.Covered && v < s.Max && rng.IntN(2) == 0 { // what no slider can be set to
			v = math.Round(1e4*(v+0.37*s.Step)) / 1e4
		}
		return v
	}
	seen := map[string]bool{}
	for range 40 {
		state, link := readings.Bare(), url.Values{"near": nil}
		if p.Added != nil {
			v := pick(p.Added)
			link.Set("added", strconv.FormatFloat(v, 'f', -1, 64))
			state.Exact = v * p.Added.Scale
		}
		if len(p.Cores) > 0 && rng.IntN(3) > 0 {
			v := pick(p.Covered)
			if rng.IntN(3) == 0 {
				v = 100
			}
			core := p.Cores[rng.IntN(len(p.Cores))]
			link.Set("core", core)
			link.Set("covered", strconv.FormatFloat(v, 'f', -1, 64))
			if v > 0 {
				state.Core, state.To = core, v/100
			}
		}
		if p.Hand != nil && rng.IntN(2) == 0 {
			v := pick(p.Hand)
			link.Set("near", "1")
			link.Set("hand", strconv.FormatFloat(v, 'f', -1, 64))
			state.Hand = v * p.Hand.Scale
		}
		if link.Get("near") == "" {
			link.Del("near")
		}
		var got shown
		b.Evaluate(fmt.Sprintf(`new Promise(done => { addEventListener("hashchange", () => done(%s), {once: true}); location.hash = %q })`, showing, link.Encode()), &got)
		want := decisions.Predict(r.Result, state, nil)
		seen[got.Text] = true
		if !want.Frequency.Determined {
			if got.Hertz != "" || got.Text != "no number" {
				b.T.Errorf("%s: %v isn't determined, but the page says %q", name, link, got.Text)
			}
			continue
		}
		f, _ := strconv.ParseFloat(got.Hertz, 64)
		u, _ := strconv.ParseFloat(got.Uncertainty, 64)
		if !(math.Abs(f/want.Frequency.Value-1) < 1e-6) || !(math.Abs(u/want.Frequency.Uncertainty-1) < 0.01) {
			b.T.Errorf("%s: %v gives %s ± %s Hz, want %.9g ± %.4g", name, link, got.Hertz, got.Uncertainty, want.Frequency.Value, want.Frequency.Uncertainty)
		}
		if text := quantity.Format(f, u, "Hz").String(); plain(got.Text) != text {
			b.T.Errorf("%s: %v is written %q, want %q", name, link, got.Text, text)
		}
		if (got.Outside != "") != (len(want.Outside) > 0) {
			b.T.Errorf("%s: %v: %q, want a word on %+v", name, link, got.Outside, want.Outside)
		}
		if state.Exact > 0 {
			b.partTold(name, r, state, got.About)
		}
	}
	if len(seen) < 8 {
		b.T.Errorf("%s: the sliders give %d numbers", name, len(seen))
	}
}

// partTold compares what the panel says for a new part of 5 % with the prediction
// for one.
func (b browser) partTold(name string, r *model.Result, s readings.State, about string) {
	b.T.Helper()
	// The panel adds capacitance, what a clip brings included, so that the part's own error is
	// all that comes to it.
	want, more := r.Frequency(s, nil), s
	more.Exact *= 1.001
	slope := (r.Frequency(more, nil).Value - want.Value) / (0.001 * s.Exact)
	want.Uncertainty = math.Hypot(want.Uncertainty, slope*s.Exact*0.05/1.96)
	m := regexp.MustCompile(`With a new part of 5\.0 % tolerance: (.*) ± (.*) ([kMG]?)Hz\.`).FindStringSubmatch(plain(about))
	if m == nil {
		b.T.Errorf("%s: the panel says %q", name, about)
		return
	}
	scale := map[string]float64{"": 1, "k": 1e3, "M": 1e6, "G": 1e9}[m[3]]
	u, _ := strconv.ParseFloat(m[2], 64)
	if math.Abs(u*scale/want.Uncertainty-1) > 0.06 { // two digits, the first maybe a 1
		b.T.Errorf("%s: a new part gives ± %g Hz, want %.3g", name, u*scale, want.Uncertainty)
	}
}

func plain(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

// keys moves a slider as a reader without a mouse does.
func (b browser) keys(r *model.Result) {
	b.T.Helper()
	var before, after shown
	b.Evaluate(`location.hash = "#added=0"; new Promise(done => setTimeout(() => { document.getElementById("try-added").focus(); done(`+showing+`) }, 50))`, &before)
	for range 3 {
		b.Press("ArrowRight", 39)
	}
	b.Evaluate(showing, &after)
	var at float64
	b.Evaluate(`Number(document.getElementById("try-added").value)`, &at)
	if at <= 0 || after.Hertz == before.Hertz {
		b.T.Errorf("three strokes of the right arrow bring the slider to %g and the frequency from %s to %s", at, before.Hertz, after.Hertz)
	}
	s := readings.Bare()
	s.Exact = at * 1e-12
	want := r.Frequency(s, nil).Value
	if f, _ := strconv.ParseFloat(after.Hertz, 64); math.Abs(f/want-1) > 1e-6 {
		b.T.Errorf("at %g pF the page says %s Hz, want %.9g", at, after.Hertz, want)
	}
	if want := fmt.Sprintf("fitcoil predict bench/lighthouse.csv added=%gpF±0%% --tolerance 5%%", at); after.Command != want {
		b.T.Errorf("command %q, want %q", after.Command, want)
	}
}

// types sets a number that the slider has no step for, and one that is too large.
func (b browser) types(r *model.Result) {
	b.T.Helper()
	typed := func(text string) (got shown) {
		b.Evaluate(fmt.Sprintf(`(() => { const n = document.getElementById("try-added-number"); n.value = %q; n.dispatchEvent(new Event("input", {bubbles: true})); return %s })()`, text, showing), &got)
		return got
	}
	s := readings.Bare()
	s.Exact = 3.37e-12
	got := typed("3.37")
	if f, _ := strconv.ParseFloat(got.Hertz, 64); math.Abs(f/r.Frequency(s, nil).Value-1) > 1e-6 || !strings.Contains(got.Command, "added=3.37pF±0%") {
		b.T.Errorf("3.37 pF typed gives %+v", got)
	}
	if got := typed("4000"); got.Text != "no number" || !strings.HasPrefix(got.About, "This page goes from 0 to ") {
		b.T.Errorf("4000 pF typed gives %+v", got)
	}
	if got := typed(""); got.Text != "no number" {
		b.T.Errorf("nothing typed gives %+v", got)
	}
	typed("0")
}

// mostPages is how many the demo may take on paper.
const mostPages = 5

// prints makes a PDF and looks on which pages each figure begins and ends: by
// links to marks put there, whose targets a PDF lists with their page.
func (b browser) prints(name string) {
	b.T.Helper()
	var figures int
	b.Evaluate(`[...document.querySelectorAll("figure")].map((f, i) => {
		for (const [where, id] of [["afterbegin", "begin"], ["beforeend", "end"]]) {
			f.insertAdjacentHTML(where, '<a style="font-size:1px;line-height:1px;display:block" id="' + id + i + '" href="#' + id + i + '">.</a>')
		}
	}).length`, &figures)
	var printed struct{ Data string }
	b.Call("Page.printToPDF", map[string]any{"printBackground": true, "preferCSSPageSize": true}, &printed)
	pdf, err := base64.StdEncoding.DecodeString(printed.Data)
	if err != nil {
		b.T.Fatal(err)
	}
	target := map[string]string{}
	for _, m := range regexp.MustCompile(`/((?:begin|end)[0-9]+) \[(?:<<[^>]*>> )?([0-9]+) 0 R`).FindAllStringSubmatch(string(pdf), -1) {
		target[m[1]] = m[2]
	}
	if n := len(regexp.MustCompile(`/Type /Page\b`).FindAll(pdf, -1)); n == 0 || n > mostPages {
		b.T.Errorf("%s: %d pages, want at most %d", name, n, mostPages)
	}
	pages := map[string]bool{}
	for i := range figures {
		begin, end := target[fmt.Sprint("begin", i)], target[fmt.Sprint("end", i)]
		if begin == "" || begin != end {
			b.T.Errorf("%s: figure %d begins on page object %q and ends on %q", name, i+1, begin, end)
		}
		pages[begin] = true
	}
	if figures != 11 || len(pages) < 2 {
		b.T.Errorf("%s: %d figures on %d pages of a PDF of %d bytes", name, figures, len(pages), len(pdf))
	}
}

// quiet expects no fault, no word on the console, and no request but for the page.
func (b browser) quiet(name string) {
	b.T.Helper()
	b.Evaluate("0", nil)
	for _, e := range b.Events {
		switch e.Method {
		case "Runtime.exceptionThrown", "Runtime.consoleAPICalled", "Log.entryAdded":
			b.T.Errorf("%s: %s: %s", name, e.Method, e.Params)
		case "Network.requestWillBeSent":
			var p struct{ Request struct{ URL string } }
			if err := json.Unmarshal(e.Params, &p); err != nil || !strings.HasPrefix(p.Request.URL, "file://") || !strings.HasSuffix(p.Request.URL, "/page.html") {
				b.T.Errorf("%s: asks for %s", name, p.Request.URL)
			}
		}
	}
}

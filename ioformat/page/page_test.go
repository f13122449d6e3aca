package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/golden"
	"fitcoil/internal/must"
	"fitcoil/ioformat/report"
)

// pages are those of the demo, without and with its drawing, and of all logs.
func pages(t *testing.T) map[string]string {
	r, _ := demo(t)
	list := map[string]string{"lighthouse": written(t, r), "lighthouse drawn": written(t, drawn(t))}
	for name, text := range logs() {
		r, _ := fitted(t, text)
		list[name] = written(t, r)
	}
	return list
}

func TestPages(t *testing.T) {
	for name, page := range pages(t) {
		t.Run(name, func(t *testing.T) {
			root := parse(t, page)
			switch name {
			case "lighthouse", "lighthouse drawn", "bare only", "core always":
				matchOutline(t, name, root)
			}
			needsNothing(t, page, root)
			isAccessible(t, root)
			hasNoNonsense(t, page)
		})
	}
}

// matchOutline compares what a page says and in which order with its golden file:
// headings, sentences, tables, controls and figures, with # for every number,
// which other tests look at.
func matchOutline(t *testing.T, name string, root *node) {
	var b strings.Builder
	outline(&b, root, true)
	file := filepath.Join("testdata", strings.ReplaceAll(name, " ", "-")+".golden")
	if golden.Updating() {
		must.Do(t, os.WriteFile(file, []byte(b.String()), 0o666))
	}
	want := must.Get(os.ReadFile(file)).In(t)
	if b.String() != string(want) {
		t.Errorf("the page says something else than %s:\n%s", file, firstDifference(b.String(), string(want)))
	}
}

// outline writes n so; as it is where numbers aren't masked.
func outline(b *strings.Builder, n *node, masked bool) {
	number := regexp.MustCompile(`[-+]?[0-9]+([.][0-9]+)?(e[-+]?[0-9]+)?`)
	line := func(form string, args ...any) {
		text := fmt.Sprintf(form, args...)
		if masked {
			text = number.ReplaceAllString(text, "#")
		}
		b.WriteString(text + "\n")
	}
	for _, k := range n.kids {
		switch k.name {
		case "h1", "h2", "h3":
			line("%s %s", strings.Repeat("=", int(k.name[1]-'0')), k.words())
			continue
		case "p", "li", "pre", "dt", "dd", "summary", "caption", "label", "option":
			line("%s: %s", k.name, k.words())
			continue
		case "input", "select", "form", "noscript", "math":
			line("%s %s", k.name, k.attr["id"])
		case "thead":
			line("columns: %s", k.words())
			continue
		case "tr":
			line("row: %s", k.words())
			continue
		case "svg":
			line("figure %s", k.all("title")[0].words())
			continue
		case "":
			continue
		}
		outline(b, k, masked)
	}
}

func firstDifference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range x {
		if i >= len(y) || x[i] != y[i] {
			return fmt.Sprintf("line %d: %s", i+1, x[i])
		}
	}
	return "it ends early"
}

// needsNothing tells whether a page is whole in itself: it refers to nothing outside, forbids the browser to
// load anything, and lets run only the script that it brings.
func needsNothing(t *testing.T, page string, root *node) {
	for _, n := range root.all("a", "script", "link", "img", "iframe", "object", "use", "image") {
		for _, where := range []string{"src", "href"} {
			if to, ok := n.attr[where]; ok && !strings.HasPrefix(to, "#") {
				t.Errorf("<%s> refers to %s", n.name, to)
			}
		}
	}
	if regexp.MustCompile(`url\(|@import|https?://`).MatchString(strings.ReplaceAll(page, `xmlns="http://www.w3.org/2000/svg"`, "")) {
		t.Errorf("an address in the page")
	}
	policy := ""
	for _, m := range root.all("meta") {
		if m.attr["http-equiv"] == "Content-Security-Policy" {
			policy = m.attr["content"]
		}
	}
	if !strings.HasPrefix(policy, "default-src 'none'") || strings.Index(page, "Content-Security-Policy") > strings.Index(page, "<style") {
		t.Errorf("policy %q", policy)
	}
	script := regexp.MustCompile(`(?s)<script>(.*?)</script>`).FindAllStringSubmatch(page, -1)
	if strings.Contains(policy, "script-src") != (len(script) == 1) {
		t.Errorf("%d scripts under the policy %q", len(script), policy)
	}
	for _, s := range script {
		hash := sha256.Sum256([]byte(s[1]))
		if want := "script-src 'sha256-" + base64.StdEncoding.EncodeToString(hash[:]) + "'"; !strings.HasSuffix(policy, want) {
			t.Errorf("policy %q, want %s", policy, want)
		}
	}
	if regexp.MustCompile(` on[a-z]+=`).MatchString(page) {
		t.Errorf("a script in an attribute")
	}
}

// isAccessible tells whether readers who hear the page, or walk it by keys, find
// their way: WCAG 2.2, 1.3.1, 2.4.6, 4.1.2.
func isAccessible(t *testing.T, root *node) {
	ids, labelled := map[string]bool{}, map[string]bool{}
	var walk func(n *node, visit func(*node))
	walk = func(n *node, visit func(*node)) {
		visit(n)
		for _, k := range n.kids {
			walk(k, visit)
		}
	}
	walk(root, func(n *node) {
		if id := n.attr["id"]; id != "" {
			if ids[id] {
				t.Errorf("two elements have the id %s", id)
			}
			ids[id] = true
		}
		if n.name == "label" {
			labelled[n.attr["for"]] = true
		}
	})
	walk(root, func(n *node) {
		refers := append(strings.Fields(n.attr["aria-labelledby"]), strings.Fields(n.attr["for"])...)
		if to, ok := strings.CutPrefix(n.attr["href"], "#"); ok {
			refers = append(refers, to)
		}
		for _, id := range refers {
			if !ids[id] {
				t.Errorf("<%s> refers to %s, which isn't there", n.name, id)
			}
		}
		switch n.name {
		case "input", "select":
			if !labelled[n.attr["id"]] && n.attr["aria-label"] == "" {
				t.Errorf("no label for %s", n.attr["id"])
			}
		case "th":
			if n.attr["scope"] == "" {
				t.Errorf("heading %q has no scope", n.words())
			}
		case "svg":
			if n.attr["role"] != "img" || len(n.all("title")) != 1 || len(n.all("desc")) != 1 || n.all("desc")[0].words() == "" {
				t.Errorf("a figure without words")
			}
		case "math":
			if n.attr["display"] != "" && n.attr["alttext"] == "" {
				t.Errorf("a formula without words: %s", n.words())
			}
		}
	})
	level := 0
	for i, h := range root.all("h1", "h2", "h3", "h4") {
		now := int(h.name[1] - '0')
		if now > level+1 || i > 0 && now == 1 || h.words() == "" {
			t.Errorf("<%s> %q comes after level %d", h.name, h.words(), level)
		}
		level = now
	}
	if root.all("html")[0].attr["lang"] == "" || len(root.all("figure")) < 1 || len(root.all("main")) != 1 {
		t.Errorf("no language, too few figures or no main part")
	}
}

// hasNoNonsense looks for numbers that aren't any, and for names that are taken
// for marks.
func hasNoNonsense(t *testing.T, page string) {
	for _, bad := range []string{"NaN", "Inf", "ZgotmplZ", "<no value>", "%!", "<nil>"} {
		if i := strings.Index(page, bad); i >= 0 {
			t.Errorf("%s in …%s…", bad, page[max(0, i-80):min(len(page), i+80)])
		}
	}
	if strings.Contains(page, "<b>as") {
		t.Errorf("a note is taken for HTML")
	}
}

func TestSameBytes(t *testing.T) {
	r, _ := demo(t)
	first := written(t, r)
	if again, _ := demo(t); written(t, again) != first {
		t.Error("two pages of one log differ")
	}
}

// A writer that fails makes Write fail.
func TestWriteFails(t *testing.T) {
	r, _ := demo(t)
	if err := Write(full{}, r, Source{}); !errors.Is(err, errFull) {
		t.Errorf("got %v", err)
	}
}

type full struct{}

var errFull = errors.New("no room")

func (full) Write([]byte) (int, error) { return 0, errFull }

// A long log keeps a page that a browser can show: the readings beyond a thousand
// are counted, the suspect among them shown.
func TestLongLog(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("frequency [MHz],frequency ± [kHz],added [pF]\n")
	const n = 3000
	for i := range n {
		f := []float64{2.524, 1.959, 1.635, 1.246}[i%4] + 0.0004*float64(i*7%11-5)/5
		if i == n-2 {
			f += 0.05
		}
		fmt.Fprintf(&b, "%.4f,0.8,%s\n", f, []string{"", "2.2", "4.7", "10"}[i%4])
	}
	r, _ := fitted(t, b.String())
	page := written(t, r)
	root := parse(t, page)
	if lines := root.all("tr"); len(lines) > 7500 || len(page) > 3e6 {
		t.Errorf("%d rows, %d bytes", len(lines), len(page))
	}
	if !strings.Contains(root.words(), fmt.Sprintf("And %d more, none of them suspect", n-report.MostLines-1)) || !strings.Contains(page, `class="suspect"`) {
		t.Error("what is left out isn't told")
	}
}

// Cores and hands get a row of advice each, and every measurand is met or said not to
// be.
func TestAdvice(t *testing.T) {
	r, _ := demo(t)
	list := advices(r, planFor(r, measurands(r)[0], 0.05/1.96), 0.05/1.96)
	var names []string
	for _, a := range list {
		names = append(names, a.Measurand)
		if a.State == "" || a.Gain == "" || a.Why == "" {
			t.Errorf("%+v", a)
		}
	}
	if want := []string{"the effective inductance", "the core gain of rod", "the capacitance of lantern roof"}; len(list) != 4 || !slices.Equal(names[:3], want) {
		t.Errorf("measurands %q", names)
	}
	bare, _ := fitted(t, logs()["bare only"])
	if list := advices(bare, planFor(bare, measurands(bare)[0], 0.05/1.96), 0.05/1.96); len(list) != 1 || list[0].Nothing || !strings.HasPrefix(list[0].Gain, "not determined → ±") {
		t.Errorf("a capacitor is what a bare log needs: %+v", list)
	}
}

func TestKeeper(t *testing.T) {
	keep := keeper()
	for text, want := range map[string]string{
		"5 % of 1.25 ± 0.02 mH at 10 cm": "5\u00a0% of 1.25\u00a0±\u00a00.02\u00a0mH at 10\u00a0cm",
		"3 MHznot":                       "3 MHznot",
		"2 makers":                       "2 makers",
		"± 1.3 % → ± 1.1 %":              "±\u00a01.3\u00a0% →\u00a0±\u00a01.1\u00a0%",
	} {
		if got := keep(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/chromium"
	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/logbook"
	"fitcoil/model/estimation"
)

var built = flag.String("bench-page", "", "`file` that scripts/bench-page.sh has built, to be tried in Chromium")

// shown is what the page shows.
type shown struct {
	Reply, Answer, Next string
	Rows, Width         int
}

const look = `({reply: document.getElementById("reply").textContent, answer: document.getElementById("answer").textContent,
	next: document.getElementById("next").textContent, rows: document.querySelectorAll("#rows tr").length,
	width: document.documentElement.scrollWidth})`

// What the page answers is what the command answers, digit by digit, and its log is the
// same file; it goes on after a reload, fits a phone, asks the network for nothing and
// reports no fault. It is slow to build, so that it is tried only where it is named.
func TestBenchPage(t *testing.T) {
	if *built == "" {
		t.Skip("no -bench-page FILE is given")
	}
	b := chromium.Open(t)
	b.Screen(360, 740, true)
	ready := func() {
		b.Load(*built)
		for deadline := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
			var yes string
			if b.Evaluate(`document.documentElement.dataset.ready || ""`, &yes); yes == "yes" {
				break
			}
			if time.Now().After(deadline) {
				t.Fatal("the page is not ready after a minute")
			}
		}
	}
	ready()
	var first float64
	b.Evaluate("performance.now()", &first)
	t.Logf("from opening to the first answer: %.0f ms", first)
	demo := must.Get(os.ReadFile(filepath.Join("..", "..", "..", "testdata", "lighthouse.csv"))).In(t)
	rows := bytes.SplitAfter(demo, []byte("\n"))
	lines := []string{"have 2.2pF,22pF core=rod", "±0.8kHz", "2.519 bare", "1.613 added=4.7pF", "1.416 added=4.7pF core=rod", "<",
		"1.146 added=4.7pF core=rod", "2.485 hand=10cm", "note moved", "<", "hello", "fit", "next", "check"}
	slowest := 0.0
	for i := range 10 { // ever fewer of the demo's readings
		name, content := fmt.Sprintf("log %d.csv", i), bytes.Join(rows[:len(rows)-2*i], nil)
		m := &logbook.Memory{Content: content}
		opt := benchlog.Options{Parts: map[string]benchlog.PartValue{}}
		book, _, err := logbook.Open(m, logbook.Bench{Name: name, Read: logbook.Reader(name, opt, nil, nil, estimation.Session{}),
			Now: time.Now, Tolerance: opt.StandardUncertainty()})
		if err != nil {
			t.Fatal(err)
		}
		var opened bool
		b.Evaluate(fmt.Sprintf(`(async () => {
			const files = new DataTransfer();
			files.items.add(new File([new Uint8Array(%s)], %q));
			const input = document.getElementById("open-log");
			input.files = files.files;
			input.dispatchEvent(new Event("change"));
			for (let i = 0; i < 200; i++) {
				await new Promise(r => setTimeout(r, 5));
				if (document.getElementById("file").textContent.startsWith(%q)) return true;
			}
			return false;
		})()`, numbers(content), name, name), &opened)
		if !opened {
			t.Errorf("%s can't be opened", name)
			continue
		}
		for _, line := range lines {
			var ms float64
			b.Evaluate(fmt.Sprintf(`(() => {
				document.getElementById("words").value = %q;
				const begun = performance.now();
				document.getElementById("say").requestSubmit();
				return performance.now() - begun;
			})()`, line), &ms)
			if slowest = max(slowest, ms); ms > 150 {
				t.Logf("%s: %q takes %.0f ms", name, line, ms)
			}
			want := book.Line(line)
			var page shown
			b.Evaluate("new Promise(r => setTimeout(r, 60)).then(() => "+look+")", &page)
			if line != "fit" && line != "next" && line != "check" && page.Reply != want.Text {
				t.Errorf("%s: %q is answered by the page with\n%s\nand by the command with\n%s", name, line, page.Reply, want.Text)
			}
			if page.Rows != len(book.View().Readings) || page.Width > 360 {
				t.Errorf("%s: %q: %d rows, %d pixels wide", name, line, page.Rows, page.Width)
			}
		}
		var log, report string
		b.Evaluate(`JSON.parse(localStorage.getItem("fitcoil bench log")).log`, &log)
		if log != string(m.Content) {
			t.Errorf("%s: the page's log is\n%s\nthe command's\n%s", name, log, m.Content)
		}
		if b.Evaluate("fitcoil.report().text", &report); report != book.Report() {
			t.Errorf("%s: the page's report is\n%s\nthe command's\n%s", name, report, book.Report())
		}
	}
	t.Logf("slowest answer: %.0f ms", slowest)
	var before, after shown
	b.Evaluate("new Promise(r => setTimeout(r, 200)).then(() => "+look+")", &before)
	ready()
	if b.Evaluate(look, &after); after.Rows != before.Rows || after.Answer != before.Answer || after.Next != before.Next {
		t.Errorf("after a reload the page shows %+v, before %+v", after, before)
	}
	for _, e := range b.Events {
		if e.Method == "Runtime.exceptionThrown" || e.Method == "Log.entryAdded" || e.Method == "Runtime.consoleAPICalled" ||
			e.Method == "Network.requestWillBeSent" && !bytes.Contains(e.Params, []byte(`"url":"file://`)) && !bytes.Contains(e.Params, []byte(`"url":"blob:`)) {
			t.Errorf("the browser tells %s %s", e.Method, e.Params)
		}
	}
}

// numbers writes bytes as a list for JavaScript.
func numbers(data []byte) string {
	var b strings.Builder
	b.WriteByte('[')
	for _, c := range data {
		fmt.Fprintf(&b, "%d,", c)
	}
	b.WriteByte(']')
	return b.String()
}

// What pack writes is read back by the page's script; here by the same rule.
func TestPack(t *testing.T) {
	letters := alphabet()
	if len(letters) != 93 || strings.ContainsAny(letters, "<\n ") {
		t.Fatalf("%d letters %q", len(letters), letters)
	}
	for n := range 60 {
		data := make([]byte, n)
		for i := range data {
			data[i] = byte(i*i*7+n*31) >> (n % 7) // with many zeros, of which pairs have 14 bits
		}
		text := strings.ReplaceAll(pack(bytes.Clone(data)), "\n", "")
		var got []byte
		bits, held := 0, 0
		for i := 0; i+1 < len(text); i += 2 {
			pair := strings.IndexByte(letters, text[i])*93 + strings.IndexByte(letters, text[i+1])
			bits |= pair << held
			held += 13
			if pair%8192 < 93*93-8192 {
				held++
			}
			for ; held >= 8; held -= 8 {
				got = append(got, byte(bits))
				bits >>= 8
			}
		}
		if len(got) < n || !bytes.Equal(got[:n], data) {
			t.Errorf("%d bytes: %x becomes %x", n, data, got)
		}
	}
}

// The page may run its own style and scripts alone, by their hashes, and holds the engine as it was,
// in gzip, with its length.
func TestAssembled(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	engine := bytes.Repeat([]byte("an engine of its own, "), 100)
	must.Do(t, os.WriteFile(file("engine"), engine, 0o600))
	must.Do(t, os.WriteFile(file("exec"), []byte("const go = 1;\n"), 0o600))
	must.Do(t, assemble(file("engine"), file("exec"), file("page")))
	page := string(must.Get(os.ReadFile(file("page"))).In(t))
	within := func(from, to string) string {
		_, text, _ := strings.Cut(page, from)
		text, _, ok := strings.Cut(text, to)
		if !ok {
			t.Fatalf("there is no %q and %q behind it", from, to)
		}
		return text
	}
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	styles, scripts := within("<style>", "</style>"), within("\n<script>", "</script>")
	if want := "default-src 'none'; style-src " + hash(styles) + "; script-src " + hash(scripts) + " 'wasm-unsafe-eval'; base-uri 'none'; form-action 'none'"; within(`Content-Security-Policy" content="`, `">`) != want {
		t.Errorf("the policy isn't %s", want)
	}
	if styles != style || scripts != "const go = 1;\n"+script || strings.Contains(page, "{{") {
		t.Error("style or script isn't that of the page")
	}
	var packed bytes.Buffer
	w := must.Get(gzip.NewWriterLevel(&packed, gzip.BestCompression)).In(t)
	must.Get(w.Write(engine)).In(t)
	must.Do(t, w.Close())
	if got := within(`data-length="`, `"`); got != fmt.Sprint(packed.Len()) || within(`data-length="`+got+`">`, "</script>") != pack(packed.Bytes()) {
		t.Errorf("an engine of %s bytes, want %d", got, packed.Len())
	}
	if err := assemble(file("none"), file("exec"), file("page")); err == nil {
		t.Error("a page without an engine")
	}
	if err := assemble(file("engine"), file("none"), file("page")); err == nil {
		t.Error("a page without Go's script")
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
)

// TestSafeToShow: names from a log, a sheet, a capture, a file name and the
// command line hold what would move the cursor or turn the text; no command lets
// it through, in any output.
func TestSafeToShow(t *testing.T) {
	const evil = "r\x1b[31mo\u202ed\u009b\x07"
	dir := t.TempDir()
	put := func(name, content string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Skip("such names can't be written here")
		}
		return path
	}
	log := put("lo\x1b[31m\ng.csv", "frequency [MHz],added [pF],core,note,te\x1bxt\n1.5,,,,a\n1.4,4.7,,,b\n1.2,,"+evil+","+evil+",c\n1.1,10,"+evil+",,d\n"+
		"1.15,4.7,"+evil+",,e\n1.41,4.7,,,f\n")
	sheet := put("sh\x1b[31m\neet.csv", "quantity,value,±,unit\nturns,640,,\nwinding diameter,28.3,0.1,mm\nwinding length,240,0.5,mm\nball diameter,18,,mm\n"+
		"bead diameter,16,,mm\nbead length,10,,mm\nbead count,8,,\ncore,"+evil+",,\n")
	content := must.Get(os.ReadFile("../../testdata/captures/row-numbers.csv")).In(t)
	capture := put("ca\x1b[31m\np.csv", strings.Replace(string(content), "CH1", "CH"+evil+"1", 1))
	bad := put("ba\x1b[31m\nd.csv", "frequency [MHz],core\nx"+evil+","+evil+"\n1.5,5"+evil+"\n")
	plots := filepath.Join(dir, "plots")
	for _, args := range [][]string{
		{"fit", log, "--plots", plots, "--format", "svg"}, {"fit", log, "--json"}, {"fit", log, "--coil", sheet}, {"check", log}, {"check", log, "--json"},
		{"predict", log, "core=" + evil}, {"predict", log, evil + "=3"}, {"next", log, "--for", "L"}, {"report", log, "-o", "-"},
		{"report", log, "-o", filepath.Join(dir, "page.html")}, {"coil", sheet}, {"coil", sheet, "--json"}, {"capture", capture}, {"capture", capture, "--json"},
		{"capture", capture, "--row", "core=rod,note=" + evil}, {"capture", capture, "--append", log, "--row", "bare"}, {"capture", log}, {"fit", capture},
		{"fit", bad}, {"fit", log, "--known", evil + "=3pF±1%"}, {"fit", filepath.Join(dir, evil)}, {evil}, {"fit", "--" + evil}, {"fit", log, "--known", "core_gain:" + evil + "=1.6±0.1"},
		{"capture", capture, "--append", filepath.Join(dir, evil, evil), "--row", "bare"}, {"compare", log, log}, {"completion", evil}, {"capture", capture, "--column", evil},
	} {
		var out, told bytes.Buffer
		code := run(args, streams{in: strings.NewReader(""), out: &out, err: &told})
		for _, text := range []string{out.String(), told.String()} {
			mustBeVisible(t, strings.Join(args, " "), text)
		}
		if code == exitInternal || args[0] == "fit" && args[len(args)-1] == "svg" && code != exitAnswered {
			t.Errorf("%q: %s", args, told.String())
		}
		for line := range strings.SplitSeq(strings.TrimSpace(told.String()), "\n") {
			if strings.HasPrefix(line, "g.csv") || strings.HasPrefix(line, "p.csv") || strings.HasPrefix(line, "d.csv") || strings.HasPrefix(line, "eet.csv") {
				t.Errorf("%q: a file name broke the line: %q", args, told.String())
			}
		}
		if strings.HasPrefix(out.String(), "{") && !json.Valid(out.Bytes()) {
			t.Errorf("%q: not JSON: %s", args, out.String())
		}
	}
	figures, err := filepath.Glob(filepath.Join(plots, "*.svg"))
	if err != nil || len(figures) < 5 {
		t.Fatalf("%d figures, %v", len(figures), err)
	}
	for _, file := range append(figures, filepath.Join(dir, "page.html")) {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		mustBeVisible(t, file, string(content))
		if filepath.Ext(file) == ".svg" {
			d := xml.NewDecoder(bytes.NewReader(content))
			for err == nil {
				_, err = d.Token()
			}
			if !errors.Is(err, io.EOF) {
				t.Errorf("%s is no XML: %v", filepath.Base(file), err)
			}
		}
	}
}

func mustBeVisible(t *testing.T, where, text string) {
	t.Helper()
	for i, r := range text {
		if quantity.Hidden(r) && r != '\n' && r != '\t' {
			t.Errorf("%q: %U in %q", where, r, text[max(0, i-60):min(len(text), i+20)])
			return
		}
	}
}

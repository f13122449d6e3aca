package cells_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/coilsheet"
)

// readInFault is the number that a fault says was read.
var readInFault = regexp.MustCompile(`^read "([-+.,0-9]+)`)

// Whatever is wrong with a log or a sheet: a fault stands on a line of the file, the number that it
// says was read stands there, and it says what was expected or what to do.
func TestFaultsPointAtWhatTheyRead(t *testing.T) {
	faultsPoint(t, "log", true, 150, 60, func(r io.Reader) error {
		_, err := benchlog.Read(r, "log", benchlog.Options{})
		return err
	})
	faultsPoint(t, "sheet", false, 40, 15, func(r io.Reader) error {
		_, err := coilsheet.Read(r, "sheet")
		return err
	})
}

// faultsPoint reads the broken files of a kind; there are at least so many faults, and so many of them
// cite a number. Where each row stands for itself, faults come in the order of the lines, each with what
// was expected or what to do; rows that belong together are told of in one sentence.
func faultsPoint(t *testing.T, kind string, rows bool, faultsAtLeast, citing int, read func(io.Reader) error) {
	files := must.Get(filepath.Glob("../../testdata/broken/" + kind + "/*.csv")).In(t)
	faults, cited := 0, 0
	for _, file := range files {
		content := must.Get(os.ReadFile(file)).In(t)
		var list cells.Faults
		if !errors.As(read(bytes.NewReader(content)), &list) {
			continue
		}
		lines := strings.FieldsFunc(strings.ReplaceAll(string(content), "\r\n", "\n"), func(r rune) bool { return r == '\r' })
		if len(lines) < 2 {
			lines = strings.Split(strings.ReplaceAll(string(content), "\r\n", "\n"), "\n")
		}
		last := 0
		for _, f := range list.List {
			faults++
			switch {
			case f.File != kind, f.Problem == "", rows && f.Expected == "" && f.Do == "", f.Problem == f.Do, f.Column < 0, rows && f.Line < last || f.Line > len(lines):
				t.Errorf("%s: %+v", filepath.Base(file), f)
				continue
			}
			last = f.Line
			if read := readInFault.FindStringSubmatch(f.Problem); read != nil && f.Line > 0 {
				cited++
				if !strings.Contains(lines[f.Line-1], read[1]) {
					t.Errorf("%s: %s, but line %d is %q", filepath.Base(file), f.Error(), f.Line, lines[f.Line-1])
				}
			}
		}
	}
	if faults < faultsAtLeast || cited < citing {
		t.Errorf("%s: %d faults, %d of them cite a number", kind, faults, cited)
	}
}

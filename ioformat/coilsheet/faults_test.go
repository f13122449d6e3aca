package coilsheet

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fitcoil/ioformat/cells"
)

// readInFault is the number that a fault says was read.
var readInFault = regexp.MustCompile(`^read "([-+.,0-9]+)`)

// Whatever is wrong with a sheet: a fault stands on a line of the file, the number that it says was
// read stands there.
func TestFaultsPointAtWhatTheyRead(t *testing.T) {
	files, err := filepath.Glob("../../testdata/broken/sheet/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	faults, cited := 0, 0
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var list cells.Faults
		_, err = Read(bytes.NewReader(content), "coil.csv")
		if !errors.As(err, &list) {
			continue
		}
		lines := strings.FieldsFunc(strings.ReplaceAll(string(content), "\r\n", "\n"), func(r rune) bool { return r == '\r' })
		if len(lines) < 2 {
			lines = strings.Split(strings.ReplaceAll(string(content), "\r\n", "\n"), "\n")
		}
		for _, f := range list.List {
			faults++
			switch {
			case f.File != "coil.csv", f.Problem == "", f.Problem == f.Do, f.Column < 0, f.Line > len(lines):
				t.Errorf("%s: %+v", filepath.Base(file), f)
				continue
			}
			if read := readInFault.FindStringSubmatch(f.Problem); read != nil && f.Line > 0 {
				cited++
				if !strings.Contains(lines[f.Line-1], read[1]) {
					t.Errorf("%s: %s, but line %d is %q", filepath.Base(file), f.Error(), f.Line, lines[f.Line-1])
				}
			}
		}
	}
	if faults < 40 || cited < 15 {
		t.Errorf("%d faults, %d of them cite a number", faults, cited)
	}
}

package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/term"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/logbook"
	"fitcoil/ioformat/outfile"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/starter"
	"fitcoil/model/estimation"
)

func logVerb() *verb {
	var o benchOptions
	return &verb{
		name: "log", args: "LOG", brief: "write a log at the bench, reading by reading", most: 1,
		about: `
Opens a log, or begins one, and takes a reading a line: 1.613MHz added=4.7pF,
or the frequency alone for the state proposed. Each reading is on disk before
it is answered: what was expected, what moved, and what to read next. With
--csv it prints the readings of the log as a table, and takes none.`,
		example: []string{
			"fitcoil log evening.csv --have 2.2pF,4.7pF,22pF,core=rod",
			"fitcoil log --new my-coil.csv",
		},
		flags: func(c *call) {
			c.flags.BoolVar(&o.begin, "new", false, "write a commented log and coil sheet to fill in, and end")
			c.flags.Var(once(&o.have), "have", "`parts` and cores at hand, such as 1pF,core=rod")
			c.flags.Var(once(&o.goal), "for", "`goal`: L, C, gain, hand or frequency@STATE; L and each core's gain if not given")
			logFlags(c)
			csvFlag(c)
		},
		do: func(c *call) error {
			switch {
			case c.opt.csv && o.begin:
				return c.verb.usage("--csv is for the readings of a log, and --new begins one without")
			case c.opt.csv && len(c.args) == 1:
				return c.check() // the readings taken, none more
			case o.begin && len(c.args) == 0:
				return c.starter("log.csv")
			case o.begin:
				return c.starter(c.args[0])
			case len(c.args) == 0:
				return c.verb.usage("log needs LOG, the file to write; --new begins one to fill in")
			}
			return c.bench(o)
		},
	}
}

// benchOptions are the flags of log alone.
type benchOptions struct {
	have, goal string
	begin      bool
}

// starter writes a log to fill in, and beside it a coil sheet.
func (c *call) starter(name string) error {
	if name == "-" {
		return c.verb.usage("log --new needs the name of a file to write")
	}
	folder, base := filepath.Split(name)
	end := filepath.Ext(base)
	sheet := strings.TrimSuffix(base, end) + "-coil" + end
	files := []outfile.File{{Name: base, Content: starter.Log}, {Name: sheet, Content: starter.Sheet}}
	if err := c.writeAll(filepath.Clean(folder), files); err != nil {
		return err
	}
	log, drawn := word(name), word(folder+sheet)
	_, err := fmt.Fprintf(c.out, `wrote %s, a log to fill in, and %s, a coil sheet
Fill in readings in a spreadsheet, or one by one with: fitcoil log %s
Then: fitcoil check %s
      fitcoil fit %s
      fitcoil next %s --for L
`, log, drawn, log, log, log, log)
	return err
}

// bench lets a log answer while it is written.
func (c *call) bench(o benchOptions) error {
	name := c.args[0]
	if name == "-" {
		return c.verb.usage("log needs the name of a file to write")
	}
	opt, values, err := c.logOptions()
	if err != nil {
		return err
	}
	var sheet *coilsheet.Sheet
	if c.opt.coil != "" {
		if sheet, _, err = c.readSheet(c.opt.coil); err != nil {
			return err
		}
	}
	how := estimation.Session{Lumped: c.opt.lumped, Robust: c.opt.robust}
	b, text, err := logbook.Open(fileStore{c, name}, logbook.Bench{
		Name: name, Read: logbook.Reader(shown(name), opt, values, sheet, how), Capture: c.oneCapture,
		Now: time.Now, Tolerance: opt.StandardUncertainty(),
	})
	if err != nil {
		return readFault(name, err)
	}
	for _, w := range []struct{ word, value string }{{"have", o.have}, {"goal", o.goal}} {
		if w.value == "" {
			continue
		}
		r := b.Line(w.word + " " + w.value)
		if r.Refused {
			return usagef("%s: %s", map[string]string{"have": "--have", "goal": "--for"}[w.word], strings.TrimSpace(r.Text))
		}
		text = b.Greeting()
	}
	lines, end, err := c.dialogue()
	if err != nil {
		return err
	}
	defer end()
	return converse(b, lines, text)
}

// dialogue is how lines come in and answers go out.
type dialogue interface {
	ReadLine() (string, error)
	io.Writer
}

// converse reads lines until the last, and answers them.
func converse(b *logbook.Book, d dialogue, text string) error {
	for {
		if _, err := io.WriteString(d, text); err != nil {
			return err
		}
		line, err := d.ReadLine()
		if errors.Is(err, io.EOF) && line == "" {
			_, err = io.WriteString(d, b.Line(".").Text)
			return err
		}
		if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, term.ErrPasteIndicator) {
			return err
		}
		r := b.Line(line)
		if r.Done {
			_, err := io.WriteString(d, r.Text)
			return err
		}
		text = r.Text
	}
}

const prompt = "> "

// piped is a dialogue with a file or a program: the lines read are shown as if typed.
type piped struct {
	in  *bufio.Reader
	out io.Writer
}

// longestLine is the bound on a line of a script.
const longestLine = 1 << 16

func (p piped) Write(b []byte) (int, error) { return p.out.Write(b) }

func (p piped) ReadLine() (string, error) {
	if _, err := io.WriteString(p.out, prompt); err != nil {
		return "", err
	}
	var line []byte
	for len(line) < longestLine {
		piece, more, err := p.in.ReadLine()
		line = append(line, piece...)
		if err != nil || !more {
			_, told := io.WriteString(p.out, quantity.Visible(string(line))+"\n")
			return string(line), errors.Join(err, told)
		}
	}
	return "", usagef("a line is longer than %d characters: is this a list of readings?", longestLine)
}

// dialogue opens a dialogue; end leaves the terminal as it was.
func (c *call) dialogue() (d dialogue, end func(), err error) {
	in, isFile := c.in.(*os.File)
	if !isFile || !c.screen || !term.IsTerminal(int(in.Fd())) {
		return piped{bufio.NewReader(c.in), c.out}, func() {}, nil
	}
	state, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		return nil, nil, err
	}
	t := term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{in, c.out}, prompt)
	if width, height, err := term.GetSize(int(in.Fd())); err == nil && width > 0 {
		if err := t.SetSize(width, height); err != nil {
			return nil, nil, err
		}
	}
	return t, func() { term.Restore(int(in.Fd()), state) }, nil
}

// fileStore is a log on disk.
type fileStore struct {
	c    *call
	path string
}

func (s fileStore) Read() ([]byte, error) {
	content, err := os.ReadFile(s.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, &unreadableError{s.path, err}
	}
	return content, nil
}

func (s fileStore) Update(edit func([]byte) ([]byte, error)) error { return s.c.update(s.path, edit) }

// oneCapture reads the capture called name as a reading of state.
func (c *call) oneCapture(name string, state []string) (benchlog.Row, error) {
	opt, set, err := captureOptions{}.settings()
	if err != nil {
		return benchlog.Row{}, err
	}
	one := *c
	one.args = []string{name}
	list, sweeps, err := one.captures(opt, set)
	switch {
	case err != nil:
		return benchlog.Row{}, err
	case len(list)+len(sweeps) != 1:
		return benchlog.Row{}, fmt.Errorf("%s holds %d captures; take them in one by one with fitcoil capture", shown(name), len(list)+len(sweeps))
	case len(sweeps) == 1:
		return report.SweepRow(sweeps[0], state), nil
	}
	if err := loggable(list, name); err != nil {
		return benchlog.Row{}, err
	}
	return report.Row(list[0], state), nil
}

package logbook

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Store is where a log lies. Update puts what edit makes of its content in the place of
// it, whole and for good, or leaves it as it is and returns why; content is nil for a
// log that isn't there yet.
type Store interface {
	Read() (content []byte, err error)
	Update(edit func(content []byte) ([]byte, error)) error
}

// Bench is what a front end brings to a Book.
type Bench struct {
	Name string // of the log, in messages
	// Read reads a log for a fit, in which parts have the values that are known of them,
	// and a sheet says what it says.
	Read func(content []byte) (*benchlog.Log, estimation.Session, error)
	// Capture reads the file of a capture that name is the name of; nil where there is
	// none to read. It returns an error where the file holds no reading.
	Capture func(name string, state []string) (benchlog.Row, error)
	Now     func() time.Time
	View    report.View // how wide answers are
	// Tolerance of parts for which nothing states one, as a relative standard
	// uncertainty.
	Tolerance float64
}

// Book is a log being written.
type Book struct {
	bench  Bench
	store  Store
	began  *benchlog.Log // whose last time new ones go on from; nil for a new log
	opened time.Time     // from when what has passed since that is counted

	content []byte
	log     *benchlog.Log // nil for an empty one
	session estimation.Session
	result  *model.Result // nil while nothing can be fitted; not judged before that is asked for
	failed  error         // why, when there are readings

	parts   []string // at hand, beside those of the log
	cores   []string
	goals   []string // none: inductance, and the gain of each core
	typed   []string // state typed for the next reading, instead of the one proposed
	own     bool     // typed holds
	pm      string   // ± of readings that name none
	again   string   // state to read again, since it surprised; "" else
	pending bool     // the log is to be fitted

	next proposal
}

// Reply is what a Book says to a line.
type Reply struct {
	Text    string // whole lines
	Refused bool   // the line changed nothing
	Done    bool   // nothing more is to be read
}

// Open opens the log in store, which need not exist, and says what to do first.
func Open(store Store, bench Bench) (*Book, string, error) {
	b := &Book{bench: bench, store: store, opened: bench.Now()}
	content, err := store.Read()
	if err != nil {
		return nil, "", err
	}
	if err := b.take(content); err != nil {
		return nil, "", err
	}
	b.began = b.log
	return b, b.Greeting(), nil
}

// Greeting says how the log stands and what to do first.
func (b *Book) Greeting() string {
	b.settle()
	head := "a new log"
	if b.readings() > 0 {
		head = quantity.Count(b.readings(), "reading")
	}
	return fmt.Sprintf("%s: %s. One reading a line, as 1.613MHz added=4.7pF; ? lists the words, . ends.\n",
		quantity.Visible(b.bench.Name), head) + b.summary() + b.proposal()
}

// take makes content the log of b. It is fitted when that is asked for: see settle.
func (b *Book) take(content []byte) error {
	b.again, b.pending = "", true
	b.content, b.log, b.result, b.failed, b.session = content, nil, nil, nil, estimation.Session{}
	if len(bytes.TrimSpace(content)) == 0 {
		return nil
	}
	log, s, err := b.bench.Read(content)
	if err != nil {
		return err
	}
	b.log, b.session = log, s
	return nil
}

// settle fits the log, unless that is done, and finds what to read next.
func (b *Book) settle() {
	if !b.pending {
		return
	}
	b.pending = false
	if b.log != nil {
		if b.result, b.failed = model.Estimate(b.session); errors.Is(b.failed, estimation.ErrNoReadings) {
			b.failed = nil
		}
	}
	b.next = b.propose()
}

// change writes the log anew, and takes it.
func (b *Book) change(edit func(content []byte) ([]byte, error)) error {
	var after []byte
	err := b.store.Update(func(content []byte) (changed []byte, err error) {
		after, err = edit(content)
		return after, err
	})
	if err != nil {
		return err
	}
	return b.take(after)
}

// Line takes one line in and answers it. Its error is one of the store; what is wrong
// with the line itself stands in the reply.
func (b *Book) Line(text string) Reply {
	text = strings.TrimSpace(text)
	name, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	if name != "<" { // what goes needs no fit
		b.settle()
	}
	if text == "" {
		return b.accept()
	}
	for _, c := range commands() {
		if strings.EqualFold(name, c.name) {
			return c.do(b, rest)
		}
	}
	return b.reading(text)
}

// refuse answers a line that changed nothing.
func refuse(err error) Reply { return Reply{Text: err.Error() + "\n", Refused: true} }

func refusef(format string, args ...any) Reply { return refuse(fmt.Errorf(format, args...)) }

// Memory is a log that is kept in memory, as a page keeps it.
type Memory struct{ Content []byte }

// Read returns the log.
func (m *Memory) Read() ([]byte, error) { return m.Content, nil }

// Update changes the log.
func (m *Memory) Update(edit func([]byte) ([]byte, error)) error {
	content, err := edit(bytes.Clone(m.Content))
	if err == nil {
		m.Content = content
	}
	return err
}

// Reader returns what reads the log called name for a fit: with what opt says of parts, the values
// of known, and what a sheet says of the coil, unless it is nil. A session that is given
// says how to fit.
func Reader(name string, opt benchlog.Options, known []quantities.Known, sheet *coilsheet.Sheet, how estimation.Session) func(content []byte) (*benchlog.Log, estimation.Session, error) {
	opt.Blank = true
	if sheet != nil {
		opt.Parts = sheet.PartsBeside(opt.Parts)
	}
	return func(content []byte) (*benchlog.Log, estimation.Session, error) {
		log, err := benchlog.Read(bytes.NewReader(content), name, opt)
		if err != nil {
			return nil, estimation.Session{}, err
		}
		s := how
		s.Log = log.Log
		for _, k := range known {
			k.Core = log.Core(k.Core)
			s.Known = append(s.Known, k)
		}
		if sheet != nil && len(log.Readings) > 0 {
			err = sheet.Tell(&s)
		}
		return log, s, err
	}
}

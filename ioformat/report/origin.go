package report

import (
	"strconv"
	"time"

	"fitcoil/model/quantities"
)

// Program tells what made a result, so that it can be made again.
type Program struct {
	Version, Revision string
	Options           []string // as given on the command line
}

// File is an input.
type File struct {
	Name     string
	SHA256   string    // of its bytes, in hexadecimal
	Dated    string    // day that the file says it is of; "" for none
	Modified time.Time // zero for what is no file
}

// jsonOrigin is what each JSON object says of where it comes from.
type jsonOrigin struct {
	Program *jsonProgram `json:"program,omitempty"`
	Inputs  []jsonFile   `json:"inputs,omitempty"`
}

type jsonProgram struct {
	Version  string   `json:"version"`
	Revision string   `json:"revision"`
	Options  []string `json:"options"`
}

type jsonFile struct {
	Name     string `json:"name"`
	SHA256   string `json:"sha256"`
	Dated    string `json:"dated,omitempty"`
	Modified string `json:"modified,omitempty"`
}

// jsonStart begins a JSON object.
type jsonStart struct {
	Schema int `json:"schema"`
	jsonOrigin
}

// jsonHead begins one that is about a log.
type jsonHead struct {
	jsonStart
	Log    string `json:"log"`
	SHA256 string `json:"log_sha256,omitempty"`
}

func start(sources ...Source) jsonStart { return jsonStart{Schema, origin(sources...)} }

func head(src Source) jsonHead { return jsonHead{start(src), src.Log, src.SHA256} }

// origin is that of results from all of these sources.
func origin(sources ...Source) (o jsonOrigin) {
	for _, s := range sources {
		if p := s.Program; p != nil {
			o.Program = &jsonProgram{p.Version, p.Revision, append([]string{}, p.Options...)}
		}
		for _, f := range s.Files {
			j := jsonFile{Name: f.Name, SHA256: f.SHA256}
			if j.Dated = f.Dated; j.Dated == "" && !f.Modified.IsZero() {
				j.Modified = f.Modified.UTC().Format(time.RFC3339)
			}
			o.Inputs = append(o.Inputs, j)
		}
	}
	return o
}

// keyName names a quantity in one word: core_gain:rod, part_capacitance:roof,
// hand_capacitance:0.1 (m).
func keyName(k quantities.Key) string {
	for _, label := range []string{k.Core, k.Part} {
		if label != "" {
			return k.Name + ":" + label
		}
	}
	if k.Hand > 0 {
		return k.Name + ":" + strconv.FormatFloat(k.Hand, 'g', -1, 64)
	}
	return k.Name
}

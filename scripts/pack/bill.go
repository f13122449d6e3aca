package main

import (
	"cmp"
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// component is a part of the programs, as CycloneDX 1.6 has it (ECMA-424).
type component struct {
	Type     string    `json:"type"`
	Ref      string    `json:"bom-ref"`
	Name     string    `json:"name"`
	Version  string    `json:"version"`
	Licences []licence `json:"licenses"`
	URL      string    `json:"purl"`
}

type licence struct {
	Licence map[string]string `json:"license"` // by id or name
}

type bill struct {
	Format   string `json:"bomFormat"`
	Spec     string `json:"specVersion"`
	Serial   string `json:"serialNumber"`
	Version  int    `json:"version"`
	Metadata struct {
		Time      string    `json:"timestamp"`
		Component component `json:"component"`
	} `json:"metadata"`
	Components   []component  `json:"components"`
	Dependencies []dependency `json:"dependencies"`
}

type dependency struct {
	Ref       string   `json:"ref"`
	DependsOn []string `json:"dependsOn"`
}

func newComponent(kind, name, version, by, licensed string) component {
	url := "pkg:golang/" + name + "@" + version
	return component{kind, url, name, version, []licence{{map[string]string{by: licensed}}}, url}
}

// library is a component under its own licence.
func library(name, version string) component {
	return newComponent("library", name, version, "name", "see THIRD-PARTY")
}

// newBill lists what is linked into any of the programs, by what their builds recorded.
func newBill(version string, at time.Time, programs []string) ([]byte, error) {
	var b bill
	b.Format, b.Spec, b.Version = "CycloneDX", "1.6", 1
	b.Metadata.Time = at.Format(time.RFC3339)
	own := newComponent("application", "fitcoil", version, "id", "MIT")
	b.Metadata.Component = own
	for _, p := range programs {
		info, err := buildinfo.ReadFile(p)
		if err != nil {
			return nil, err
		}
		b.Components = append(b.Components, library("std", strings.TrimPrefix(info.GoVersion, "go")))
		for _, m := range info.Deps {
			if m.Replace != nil {
				m = m.Replace
			}
			b.Components = append(b.Components, library(m.Path, m.Version))
		}
	}
	slices.SortFunc(b.Components, func(x, y component) int { return cmp.Compare(x.Ref, y.Ref) })
	b.Components = slices.CompactFunc(b.Components, func(x, y component) bool { return x.Ref == y.Ref })
	d := dependency{Ref: own.Ref}
	hash := sha256.New()
	fmt.Fprintln(hash, own.Ref, b.Metadata.Time)
	for _, c := range b.Components {
		d.DependsOn = append(d.DependsOn, c.Ref)
		fmt.Fprintln(hash, c.Ref)
	}
	b.Dependencies = []dependency{d}
	b.Serial = serial(hash.Sum(nil))
	out, err := json.MarshalIndent(b, "", "  ")
	return append(out, '\n'), err
}

// serial makes a UUID of a hash (RFC 9562, version 8), so that the same bill has the same.
func serial(hash []byte) string {
	u := slices.Clone(hash[:16])
	u[6], u[8] = u[6]&0x0f|0x80, u[8]&0x3f|0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", u[:4], u[4:6], u[6:8], u[8:10], u[10:])
}

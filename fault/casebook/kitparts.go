package casebook

import (
	"encoding/json"
	"fmt"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Ratings and functions of an instrument are each a JSON list in a column, with the
// names that a case file gives their fields.

type ratingPart struct {
	Category string         `json:"category"`
	Volts    float64        `json:"volts"`
	Extra    topology.Extra `json:"extra,omitempty"`
}

type rangePart struct {
	Max       float64        `json:"max"`
	Count     float64        `json:"count"`
	InputOhms float64        `json:"input_ohms,omitempty"`
	GainPct   *float64       `json:"gain_pct,omitempty"`
	Counts    *float64       `json:"counts,omitempty"`
	Extra     topology.Extra `json:"extra,omitempty"`
}

type functionPart struct {
	Quantity    string         `json:"quantity"`
	GainPct     float64        `json:"gain_pct"`
	Counts      float64        `json:"counts"`
	InputOhms   float64        `json:"input_ohms,omitempty"`
	InputTolPct float64        `json:"input_tol_pct,omitempty"`
	Ranges      []rangePart    `json:"ranges,omitempty"`
	Extra       topology.Extra `json:"extra,omitempty"`
}

func packRatings(list []fault.Rating) (any, error) {
	parts := make([]ratingPart, len(list))
	for i, r := range list {
		parts[i] = ratingPart(r)
	}
	return packParts(parts)
}

func unpackRatings(s *string) ([]fault.Rating, error) {
	parts, err := unpackParts[ratingPart](s)
	var out []fault.Rating
	for _, r := range parts {
		out = append(out, fault.Rating(r))
	}
	return out, err
}

func packFunctions(list []fault.Function) (any, error) {
	parts := make([]functionPart, len(list))
	for i, f := range list {
		parts[i] = functionPart{f.Quantity, f.GainPct, f.Counts, f.InputOhms, f.InputTolPct, nil, f.Extra}
		for _, r := range f.Ranges {
			parts[i].Ranges = append(parts[i].Ranges, rangePart(r))
		}
	}
	return packParts(parts)
}

func unpackFunctions(s *string) ([]fault.Function, error) {
	parts, err := unpackParts[functionPart](s)
	var out []fault.Function
	for _, p := range parts {
		f := fault.Function{Quantity: p.Quantity, GainPct: p.GainPct, Counts: p.Counts, InputOhms: p.InputOhms, InputTolPct: p.InputTolPct, Extra: p.Extra}
		for _, r := range p.Ranges {
			f.Ranges = append(f.Ranges, fault.Range(r))
		}
		out = append(out, f)
	}
	return out, err
}

func packParts[T any](parts []T) (any, error) {
	if len(parts) == 0 {
		return nil, nil
	}
	raw, err := encode(parts)
	return string(raw), err
}

func unpackParts[T any](s *string) (parts []T, err error) {
	if s == nil {
		return nil, nil
	}
	if err := json.Unmarshal([]byte(*s), &parts); err != nil {
		return nil, fmt.Errorf("a part of an instrument cannot be read: %w", err)
	}
	return parts, nil
}

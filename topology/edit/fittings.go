package edit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// AddBoard adds a board that senses these taps, as SetBoard has them.
func AddBoard(l topology.Layout, taps []string) (out topology.Layout, id string, err error) {
	id = idsOf(l).from("B", 1, digitsOf(l, "B", 1), "", BoardKind)
	out = l
	out.Boards = append(slices.Clone(l.Boards), topology.Board{ID: id})
	if out, err = SetBoard(out, id, taps); err != nil {
		return l, "", err
	}
	return out, id, nil
}

// SetBoard says which taps a board senses: M03.0, M03.1 …, M03-, M03+.
func SetBoard(l topology.Layout, board string, taps []string) (topology.Layout, error) {
	i, err := one(l, board, BoardKind)
	if err != nil {
		return l, err
	}
	series := newWiring(l).series
	seen := map[string]bool{}
	for _, tap := range taps {
		k, err := tapOf(series, tap)
		if err != nil {
			return l, err
		}
		if seen[k] {
			return l, fmt.Errorf("%s is in the list twice", tap)
		}
		seen[k] = true
	}
	l.Boards = slices.Clone(l.Boards)
	l.Boards[i].Taps = slices.Clone(taps)
	return l, nil
}

// tapOf is one name for a tap however it is written, or a sentence why it is none.
func tapOf(series map[string]int, ref string) (string, error) {
	module, rest, ok := splitRef(ref)
	n, there := series[module]
	switch {
	case !ok:
		return "", fmt.Errorf("%q is no tap: write one as M09.3, M09- or M09+", ref)
	case !there:
		return "", fmt.Errorf("%s is no tap of this layout: there is no module %s", ref, named(module))
	case rest == "-":
		return module + ".0", nil
	case rest == "+":
		return module + "." + strconv.Itoa(n), nil
	}
	if k, _ := strconv.Atoi(rest[1:]); k > n || strconv.Itoa(k) != rest[1:] {
		return "", fmt.Errorf("%s is no tap: %s has taps .0 to .%d", ref, module, n)
	}
	return ref, nil
}

// SetMonitor says where the insulation monitor is connected: from which terminals or
// taps, to which reference metal (chassis, or chassis:tray), and with how many ohms
// from each, nil for not known. Without a terminal its connection is not known.
func SetMonitor(l topology.Layout, from []string, to string, ohms *float64) (topology.Layout, error) {
	if len(from) == 0 {
		l.Monitor = nil
		return l, nil
	}
	series := newWiring(l).series
	for _, ref := range from {
		if outer(ref) {
			continue
		}
		if _, err := tapOf(series, ref); err != nil {
			return l, err
		}
	}
	piece, ok := topology.ChassisRef(to)
	if !ok {
		return l, fmt.Errorf("the insulation monitor measures to chassis or a piece of it, such as chassis:tray, and not to %q", to)
	}
	if to != "chassis" {
		if _, err := one(l, piece, ChassisKind); err != nil {
			return l, err
		}
	}
	if ohms != nil && !(*ohms > 0 && *ohms <= mostOhms) {
		return l, fmt.Errorf("the insulation monitor's resistance is more than 0 ohm, and not %s", figure(*ohms))
	}
	m := topology.Monitor{}
	if l.Monitor != nil {
		m = *l.Monitor
	}
	m.From, m.To, m.Ohms = slices.Clone(from), to, own1(ohms)
	l.Monitor = &m
	return l, nil
}

// AddChassis adds a piece of reference metal, such as tray; without an id it is
// called piece1 and so on.
func AddChassis(l topology.Layout, id string) (topology.Layout, string, error) {
	n := idsOf(l)
	if id == "" {
		id = n.from("piece", 1, 0, "", ChassisKind)
	} else if err := n.take(id, ChassisKind); err != nil {
		return l, "", err
	}
	l.Chassis = append(slices.Clone(l.Chassis), topology.ChassisPiece{ID: id})
	return l, id, nil
}

// AddBond joins two pieces of reference metal. Its ohms are not known.
func AddBond(l topology.Layout, from, to string) (out topology.Layout, id string, err error) {
	if err := bondOK(l, from, to, ""); err != nil {
		return l, "", err
	}
	id = idsOf(l).from("bond", 1, 0, "", BondKind)
	l.Bonds = append(slices.Clone(l.Bonds), topology.Bond{ID: id, From: from, To: to})
	return l, id, nil
}

// bondOK refuses a bond that joins nothing, or what another than itself joins.
func bondOK(l topology.Layout, from, to, itself string) error {
	for _, piece := range []string{from, to} {
		if _, err := one(l, piece, ChassisKind); err != nil {
			return err
		}
	}
	if from == to {
		return fmt.Errorf("a bond joins two pieces, and both are %s", from)
	}
	for _, b := range l.Bonds {
		if pair(b.From, b.To) == pair(from, to) && b.ID != itself {
			return fmt.Errorf("%s joins %s and %s already", b.ID, from, to)
		}
	}
	return nil
}

// AddPart adds a part of a kind in words, such as cover, that lies over these. It is
// called after its kind.
func AddPart(l topology.Layout, kind string, over []string) (out topology.Layout, id string, err error) {
	if kind = strings.TrimSpace(kind); kind == "" {
		return l, "", fmt.Errorf("a part is of some kind in words, such as cover, strap or cooling plate")
	}
	id = idsOf(l).free(partStem(kind), PartKind)
	out = l
	out.Parts = append(slices.Clone(l.Parts), topology.Part{ID: id, Kind: kind})
	if out, err = SetOver(out, id, over); err != nil {
		return l, "", err
	}
	return out, id, nil
}

// partStem makes an id of words: cooling plate becomes cooling_plate.
func partStem(kind string) string {
	stem := strings.Join(strings.Fields(strings.ToLower(kind)), "_")
	if !plainWord(stem) || len(stem) > 24 {
		return "part"
	}
	return strings.TrimRight(stem, "0123456789_")
}

// SetOver says what a part lies over, by id.
func SetOver(l topology.Layout, part string, over []string) (topology.Layout, error) {
	return setBelow(l, part, over, func(p *topology.Part) *[]string { return &p.Over })
}

// SetHolds says what a part holds in place without covering it, by id.
func SetHolds(l topology.Layout, part string, holds []string) (topology.Layout, error) {
	return setBelow(l, part, holds, func(p *topology.Part) *[]string { return &p.Holds })
}

func setBelow(l topology.Layout, part string, below []string, field func(*topology.Part) *[]string) (topology.Layout, error) {
	i, err := one(l, part, PartKind)
	if err != nil {
		return l, err
	}
	known, seen := Kinds(l), map[string]bool{}
	for _, id := range below {
		switch {
		case known[id] == "":
			return l, fmt.Errorf("nothing in this layout is called %s", named(id))
		case known[id] == UnderlayKind:
			return l, fmt.Errorf("%s is a photo under the drawing; no part lies over it", id)
		case id == part:
			return l, fmt.Errorf("%s cannot lie over or hold itself", part)
		case seen[id]:
			return l, fmt.Errorf("%s is in the list twice", id)
		}
		seen[id] = true
	}
	l.Parts = slices.Clone(l.Parts)
	*field(&l.Parts[i]) = slices.Clone(below)
	return l, nil
}

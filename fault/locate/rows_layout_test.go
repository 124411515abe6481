package locate_test

import (
	"fmt"
	"slices"

	"halfsplit/topology"
)

// boards draws a monitoring board for every module, at all its taps.
func boards(l *topology.Layout) {
	for i, m := range l.Modules {
		b := topology.Board{ID: fmt.Sprintf("B%02d", i+1), Minutes: minutes(3)}
		for k := 0; k <= m.Series; k++ {
			b.Taps = append(b.Taps, fmt.Sprintf("%s.%d", m.ID, k))
		}
		l.Boards = append(l.Boards, b)
	}
}

func minutes(m float64) *float64 { return &m }

// accessible gives every link its minutes.
func accessible(l *topology.Layout) {
	for i := range l.Links {
		if l.Links[i].Minutes = minutes(10); l.Links[i].Kind == topology.Disconnect {
			l.Links[i].Minutes = minutes(1)
		}
	}
}

// mainLinks draws the busbars between the end modules and the rails.
func mainLinks(l *topology.Layout) {
	for i := range l.Links {
		switch l.Links[i].ID {
		case "K-":
			l.Links[i].To = "rail-"
		case "K+":
			l.Links[i].From = "rail+"
		}
	}
	l.Links = append(l.Links,
		topology.Link{ID: "ML-", Kind: topology.Busbar, From: "rail-", To: "M01-", Minutes: minutes(10)},
		topology.Link{ID: "ML+", Kind: topology.Busbar, From: l.Modules[len(l.Modules)-1].ID + "+", To: "rail+", Minutes: minutes(10)})
}

// pieces draws more chassis pieces beside the tray.
func pieces(ids ...string) option {
	return func(l *topology.Layout) {
		for _, id := range ids {
			l.Chassis = append(l.Chassis, topology.ChassisPiece{ID: id})
		}
	}
}

// monitor draws an insulation monitor at both ends of the string; 0 ohms are
// not known.
func monitor(ohms float64) option {
	return func(l *topology.Layout) {
		l.Monitor = &topology.Monitor{From: []string{"M01-", "M12+"}, To: "chassis"}
		if ohms > 0 {
			l.Monitor.Ohms = &ohms
		}
	}
}

// parallel is two strings of six modules, M01 … and N01 …, tied to the rails by
// links of their own at both ends.
func parallel() topology.Layout {
	l := topology.Layout{Name: "two strings", SeenFrom: "above", Chassis: []topology.ChassisPiece{{ID: "tray"}}}
	link := func(id, kind, from, to string) {
		l.Links = append(l.Links, topology.Link{ID: id, Kind: kind, From: from, To: to, Minutes: minutes(5)})
	}
	for i, letter := range []string{"M", "N"} {
		for m := 1; m <= modules/2; m++ {
			id := fmt.Sprintf("%s%02d", letter, m)
			l.Modules = append(l.Modules, topology.Module{ID: id, Series: series, Parallel: 2, CellAh: 50, W: 150, H: 300, X: 160 * float64(m), Y: 400 * float64(i), Minus: "left"})
			if m > 1 {
				link(fmt.Sprintf("%sL%d", letter, m-1), topology.Busbar, fmt.Sprintf("%s%02d+", letter, m-1), id+"-")
			}
		}
		link("T"+letter+"N", topology.Cable, "rail-", letter+"01-")
		link("T"+letter+"P", topology.Cable, letter+"06+", "rail+")
	}
	link("K-", topology.Contactor, "pack-", "rail-")
	link("K+", topology.Contactor, "rail+", "pack+")
	return l
}

// drawnTurned draws a module the wrong way round.
func drawnTurned(l topology.Layout, id string) topology.Layout {
	l.Links = slices.Clone(l.Links)
	for i := range l.Links {
		for _, end := range []*string{&l.Links[i].From, &l.Links[i].To} {
			switch *end {
			case id + "+":
				*end = id + "-"
			case id + "-":
				*end = id + "+"
			}
		}
	}
	return l
}

package locate_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// What looks like a module and is none: plate, board, sense lead, loop of low
// voltage, rail, disconnect, load side.

// A cooling plate on an isolating bracket: the leak goes to the plate, and from
// the plate to the tray there is a resistance of its own.
func TestRow07_plateBetweenCellsAndTray(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(pieces("plate"))
		s.pack.Bonds = []circuit.Bond{{From: "plate", To: "tray", Ohms: 500e3}}
		s.leak(circuit.Leak{At: "M09.3", To: "plate", Ohms: 40e3})
		s.across("closed", "M12+", "M01-")
		for _, black := range []string{"chassis:tray", "chassis:plate"} {
			for _, red := range []string{"M12+", "M01-"} {
				s.across("closed", red, black)
			}
			s.take(fault.Reading{State: "closed", Red: "M01-", Black: black, Resistor: &fault.Fitted{ID: "R200k"}})
		}
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.Narrowed, fault.NotDistinguishable, fault.Inconsistent)
		f.says("plate")
		f.says("tray")
	})
}

func boardPack(k *rec, l circuit.Leak) *shop {
	s := k.shop(boards, accessible)
	s.leak(l)
	s.section("closed", "M01-", "M12+")
	s.halves("split")
	return s
}

func TestRow08_boardOrModule(t *testing.T) {
	row(t, func(k *rec) {
		f := boardPack(k, circuit.Leak{At: "M09.3", Ohms: 120e3, OnlyWithBoard: "B09"}).find()
		f.verdict(fault.NotDistinguishable)
		f.place("M09")
		f.place("B09")
		f.would(`unplug.*B09|B09.*unplug`)
		if share := f.hypothesis(fault.BoardLeak); share < 0.02 {
			k.errorf("a board that fits has a share of %.3f", share)
		}
	})
}

func unplugged(s *shop) {
	s.state("unplugged", func(st *fault.State) { st.Open, st.Unplugged = []string{"SD"}, []string{"B09"} })
	s.section("unplugged", "M07-", "M12+")
}

func TestRow08_itIsTheBoard(t *testing.T) {
	row(t, func(k *rec) {
		s := boardPack(k, circuit.Leak{At: "M09.3", Ohms: 120e3, OnlyWithBoard: "B09"})
		unplugged(s)
		f := s.find()
		f.verdict(fault.Located)
		f.placeOf("B09", fault.PlaceBoard)
		f.leads(fault.BoardLeak)
		if share := f.suspected("M09"); share > 0.05 {
			k.errorf("M09 still has a share of %.2f", share)
		}
	})
}

func TestRow08_itIsTheModule(t *testing.T) {
	row(t, func(k *rec) {
		s := boardPack(k, circuit.Leak{At: "M09.3", Ohms: 120e3})
		unplugged(s)
		f := s.find()
		f.verdict(fault.Located)
		f.placeOf("M09", fault.PlaceModule)
		if share := f.suspected("B09"); share > 0.05 {
			k.errorf("B09 still has a share of %.2f", share)
		}
	})
}

// A chafed sense lead stays when the board end alone is unplugged.
func TestRow09_senseLeadStays(t *testing.T) {
	row(t, func(k *rec) {
		s := boardPack(k, circuit.Leak{At: "M09.2", Ohms: 120e3})
		unplugged(s)
		f := s.find()
		f.place("M09")
		f.says(`lead|harness`)
	})
}

// A sensor loop has its own ground, which is not joined to the tray.
func TestRow10_lowVoltageGroundIsAnotherReference(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(pieces("lv"))
		s.pack.Bonds = []circuit.Bond{{From: "tray", To: "lv", Ohms: 1e9}}
		s.leak(circuit.Leak{At: "M04.3", To: "lv", Ohms: 90e3})
		s.across("closed", "M12+", "M01-")
		for _, black := range []string{"chassis:tray", "chassis:lv"} {
			for _, red := range []string{"M12+", "M01-"} {
				s.across("closed", red, black)
			}
		}
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.Narrowed, fault.NotDistinguishable, fault.Inconsistent, fault.NotInString)
		f.says("lv")
	})
}

func railPack(k *rec, at string) *shop {
	s := k.shop(mainLinks)
	s.leak(circuit.Leak{At: at, Ohms: 100e3})
	s.section("closed", "M01-", "M12+")
	s.halves("split")
	return s
}

func TestRow11_endRegion(t *testing.T) {
	row(t, func(k *rec) {
		f := railPack(k, "rail+").find()
		f.verdict(fault.NotDistinguishable)
		f.place("M12")
		f.says(`rail`)
		f.says(`M12`)
		f.would(`ML\+`)
	})
}

func TestRow11_mainLinkOpened(t *testing.T) {
	for _, at := range []string{"rail+", "M12+"} {
		t.Run(at, func(t *testing.T) {
			row(t, func(k *rec) {
				s := railPack(k, at)
				s.state("bare", func(st *fault.State) { st.Open = []string{"SD", "ML+"} })
				s.section("bare", "M07-", "M12+")
				f := s.find()
				if at == "M12+" {
					f.place("M12")
					if share := f.hypothesis(fault.RailLeak); share > 0.05 {
						k.errorf("the rail, apart from the leak, has a share of %.2f", share)
					}
					return
				}
				f.verdict(fault.Located)
				f.leads(fault.RailLeak)
				f.placeOf("rail+", fault.PlaceRail)
			})
		})
	}
}

func plugPack(k *rec, at string) *shop {
	s := k.shop()
	s.leak(circuit.Leak{At: at, Ohms: 60e3})
	s.section("closed", "M01-", "M12+")
	s.halves("split")
	return s
}

func TestRow12_socketSides(t *testing.T) {
	for at, keeps := range map[string][2]string{"SD@M06+": {"M06", "M07"}, "SD@M07-": {"M07", "M06"}} {
		t.Run(keeps[0], func(t *testing.T) {
			row(t, func(k *rec) {
				f := plugPack(k, at).find()
				f.verdict(fault.Located, fault.NotDistinguishable, fault.Narrowed)
				f.place(keeps[0])
				if share := f.suspected(keeps[1]); share > 0.02 {
					k.errorf("%s is cleared by the split, and has a share of %.2f", keeps[1], share)
				}
				f.says("SD")
			})
		})
	}
}

func TestRow12_inThePlug(t *testing.T) {
	row(t, func(k *rec) {
		f := plugPack(k, "SD").find()
		f.verdict(fault.Located)
		f.leads(fault.LinkLeak)
		f.placeOf("SD", fault.PlaceLink)
	})
}

func loadPack(k *rec, at ...string) *shop {
	s := k.shop()
	s.state("on", func(st *fault.State) { st.Contactors = fault.Closed })
	for _, a := range at {
		s.leak(circuit.Leak{At: a, Ohms: 150e3})
	}
	s.section("closed", "M01-", "M12+")
	s.section("on", "M01-", "M12+")
	return s
}

func TestRow13_loadSide(t *testing.T) {
	row(t, func(k *rec) {
		f := loadPack(k, "load+").find()
		f.verdict(fault.NotInString)
		f.leads(fault.LoadSide)
		f.condemnsModules()
		f.says(`load\+|pack\+|positive`)
	})
}

func TestRow13_loadWhoseFarSideConducts(t *testing.T) {
	row(t, func(k *rec) {
		f := loadPack(k, "load+", "load-").find()
		f.verdict(fault.NotInString)
		f.condemnsModules()
	})
}

// With contactors open a voltage to chassis knows nothing beyond them.
func TestRow14_beyondOpenContactors(t *testing.T) {
	row(t, func(k *rec) {
		f := loadPack(k).find()
		f.verdict(fault.NoLeakTestNotProved)
		f.condemnsNone(0.05)
		s := k.shop()
		s.leak(circuit.Leak{At: "load+", Ohms: 1e3})
		s.section("closed", "M01-", "M12+")
		f = s.find()
		f.verdict(fault.NoLeakTestNotProved)
		f.says(`contactor|load side`)
	})
}

// plugIn is clean on its own and leaks with something connected.
func plugIn(k *rec, what string) {
	s := k.shop()
	s.state("joined", func(st *fault.State) { st.Connected = []string{what} })
	s.leak(circuit.Leak{At: "M12+", Ohms: 150e3})
	s.section("joined", "M01-", "M12+")
	s.resize(0, 1e12)
	s.section("closed", "M01-", "M12+")
	f := s.find()
	f.verdict(fault.Inconsistent, fault.NotInString, fault.Narrowed, fault.NotDistinguishable, fault.NoLeakTestNotProved)
	f.condemnsModules()
	f.says(what)
}

func TestRow15_onlyWithTheChargerPluggedIn(t *testing.T) {
	row(t, func(k *rec) { plugIn(k, "charging plug") })
}

func TestRow28_onlyWithABenchSupplyJoined(t *testing.T) {
	row(t, func(k *rec) { plugIn(k, "bench supply") })
}

// condemnsModules: what is not in the string asks for no module.
func (f found) condemnsModules() {
	for _, s := range f.Suspicion {
		if s.Kind == fault.PlaceModule && s.Share >= 0.2 {
			f.k.errorf("%s has a share of %.2f: %s", s.ID, float64(s.Share), f.Statement)
		}
	}
}

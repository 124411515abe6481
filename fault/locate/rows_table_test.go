package locate_test

import (
	"fmt"
	"reflect"
	"regexp"
	"runtime"
	"strings"
	"testing"
)

// The faults, the errors of measurement and the slips of entry that a workshop
// meets, numbered from 1 to 53, each with the test of what the engine states
// about it. Every test makes packs with the exact circuit, reads them with
// meters that err, and checks the finding against the truth.

// A faultRow is one line of the list. One without tests says why it has none.
type faultRow struct {
	n     int
	title string
	tests []func(*testing.T)
	words string // what no voltage can tell, and is therefore words or the window's alone
}

type list = []func(*testing.T)

var faultRows = []faultRow{
	{1, "single hard leak", list{TestRow01_hardLeakUnbroken, TestRow01_hardLeakSplit}, ""},
	{2, "single soft leak", list{TestRow02_softLeak}, ""},
	{3, "very soft leak", list{TestRow03_verySoftLeakIsOutOfReach, TestRow03_backgroundLimits}, ""},
	{4, "two leaks, one in each half", list{TestRow04_twoHalvesUnbroken, TestRow04_twoHalvesSplit, TestRow04_loopCurrent}, ""},
	{5, "two leaks in one half", list{TestRow05_twoInOneHalfAreNotDenied, TestRow05_twoInOneHalfSplitAgain, TestRow05_equivalentThatMoves}, ""},
	{6, "many leaks under pooled liquid", list{TestRow06_pooledUnbroken, TestRow06_pooledSplit}, ""},
	{7, "leak by way of a cooling plate", list{TestRow07_plateBetweenCellsAndTray}, ""},
	{8, "leak of a monitoring board", list{TestRow08_boardOrModule, TestRow08_itIsTheBoard, TestRow08_itIsTheModule}, ""},
	{9, "chafed sense lead", list{TestRow09_senseLeadStays}, "which end of the harness: states have no plug at its cell end"},
	{10, "sensor loop with a ground of its own", list{TestRow10_lowVoltageGroundIsAnotherReference}, ""},
	{11, "rail and end module", list{TestRow11_endRegion, TestRow11_mainLinkOpened}, ""},
	{12, "disconnect, its sockets and its plug", list{TestRow12_socketSides, TestRow12_inThePlug}, ""},
	{13, "load side of the contactors", list{TestRow13_loadSide, TestRow13_loadWhoseFarSideConducts}, ""},
	{14, "alternating-current side", list{TestRow14_beyondOpenContactors}, "the leak itself: it is there only while the inverter runs"},
	{15, "charger or inlet", list{TestRow15_onlyWithTheChargerPluggedIn}, "whether something was plugged in: the person says so"},
	{16, "only with lid and mounts torqued", list{TestRow16_onlyWithTheMountsTorqued}, "the cause: what must not be combined is tested"},
	{17, "only when wet", list{TestRow17_onlyWhenWet}, "the cause: what must not be combined is tested"},
	{18, "depends on temperature", list{TestRow18_anotherTemperature}, "the trend: states have no temperature; what must not be combined is tested"},
	{19, "depends on the test volts", list{TestRow19_breaksDownUnderTestVolts}, ""},
	{20, "drifting leak", list{TestRow20_driftIsSaid}, ""},
	{21, "leak that steps", list{TestRow21_steps}, ""},
	{22, "meter loading", list{TestRow22_meterLoading, TestRow22_inputNotKnown}, ""},
	{23, "wrong input resistance", list{TestRow23_wrongInputResistance}, ""},
	{24, "ghost voltage", list{TestRow24_ghost}, ""},
	{25, "low-impedance input", list{TestRow25_lowImpedanceInput}, "its warming up: the caution belongs beside the entry"},
	{26, "capacitors that settle", list{TestRow26_settling}, ""},
	{27, "monitor connected or active", list{TestRow27_activeMonitor, TestRow27_connectedMonitorIsTwoResistors, TestRow27_connectedMonitorNotKnown}, ""},
	{28, "bench supply or other tool joined", list{TestRow28_onlyWithABenchSupplyJoined}, "whether something was joined: the person says so"},
	{29, "chassis clip on paint", list{TestRow29_clipOnPaint}, ""},
	{30, "test resistor on the same bad clip", list{TestRow30_resistorOnTheSameClip, TestRow30_properProof}, ""},
	{31, "probing beyond open contactors", list{TestRow31_beyondTheContactors}, ""},
	{32, "ends of two halves taken as one string", list{TestRow32_endsOfTwoHalves}, ""},
	{33, "fuse blown in a link", list{TestRow33_brokenString}, ""},
	{34, "two meters at once", list{TestRow34_twoMetersAtOnce}, ""},
	{35, "strings tied at both ends", list{TestRow35_tiedAtBothEnds}, ""},
	{36, "strings apart at one end", list{TestRow36_apartAtOneEnd, TestRow36_apartAtBothEnds}, ""},
	{37, "board that bridges an opened link", list{TestRow37_bridgedGap}, ""},
	{38, "insulation tester on a live section", list{TestRow38_testerAtOneEndOfALiveSection, TestRow38_testerAtBothEnds, TestRow38_testerOnAModuleAlone}, ""},
	{39, "leads reversed on one reading", list{TestRow39_signReversed}, ""},
	{40, "both ends typed as magnitudes", list{TestRow40_magnitudes}, ""},
	{41, "module drawn the wrong way round", list{TestRow41_moduleDrawnTurned}, ""},
	{42, "neighbours transposed", list{TestRow42_neighboursTransposed}, ""},
	{43, "millivolts for volts", list{TestRow43_millivolts, TestRow43_thousandfold}, ""},
	{44, "overflow", list{TestRow44_overflowIsABound, TestRow44_boundThatContradicts}, ""},
	{45, "decimal comma", list{TestRow45_decimalComma}, ""},
	{46, "digit dropped or doubled", list{TestRow46_digitDropped}, ""},
	{47, "stale reading", list{TestRow47_stale, TestRow47_supersededHasNoInfluence}, ""},
	{48, "reading of another layout version", list{TestRow48_notInThisLayout}, "which version a reading belongs to: the casebook keeps it"},
	{49, "cell list mirrored", list{TestRow49_mirroredList}, ""},
	{50, "reading copied", list{TestRow50_copied}, ""},
	{51, "cell list of another charge", list{TestRow51_otherCharge}, "comparing two sets: the window shows both side by side"},
	{52, "repeated readings", list{TestRow52_repeatsAreAllUsed}, ""},
	{53, "wrong instrument", list{TestRow53_noSuchRange}, ""},
}

// physics is what the method rests on, beside the rows.
var physics = list{
	TestPhysics05_closurePasses, TestPhysics05_closureFails,
	TestPhysics06_whatUnpluggingTook, TestPhysics06_noDetectableChange,
	TestPhysics11_bracketed,
	TestPhysics12_twoMetersSayNoSize, TestPhysics12_twoMetersNotWrittenDown,
	TestPhysics13_drivenBackwards, TestPhysics17_socketAlone,
	TestPhysics18_otherPieceNotBonded, TestPhysics20_drainBandIsEvidence,
}

// properties hold for every pack.
var properties = list{
	TestRowsProperty_MoreTapsAreNoMoreLeaks, TestRowsProperty_NothingLocatedBeforeASplit,
	TestRowsProperty_ScaleIsNotPlace, TestRowsProperty_OutOfStateHasNoInfluence,
	TestRowsProperty_NoResistanceBelowZero, TestRowsProperty_NonsenseCellVolts,
}

// name is a test's own name.
func name(test func(*testing.T)) string {
	full := runtime.FuncForPC(reflect.ValueOf(test).Pointer()).Name()
	return full[strings.LastIndex(full, ".")+1:]
}

func TestRows_EveryRowHasATest(t *testing.T) {
	known := map[string]bool{}
	for i, r := range faultRows {
		if r.n != i+1 || r.title == "" {
			t.Errorf("row %d stands at %d, title %q", r.n, i+1, r.title)
		}
		if len(r.tests) == 0 && r.words == "" {
			t.Errorf("row %d has no test and no reason", r.n)
		}
		for _, test := range r.tests {
			if known[name(test)] = true; !strings.HasPrefix(name(test), fmt.Sprintf("TestRow%02d_", r.n)) {
				t.Errorf("row %d is tested by %s", r.n, name(test))
			}
		}
	}
	if len(faultRows) != 53 {
		t.Errorf("%d rows, want 53", len(faultRows))
	}
	for _, test := range physics {
		if known[name(test)] = true; !regexp.MustCompile(`^TestPhysics\d\d_`).MatchString(name(test)) {
			t.Errorf("%s among the physics", name(test))
		}
	}
	for _, test := range properties {
		known[name(test)] = true
	}
	for test, lacking := range waiting {
		if base, _, _ := strings.Cut(test, "/"); !known[base] || lacking == "" {
			t.Errorf("%s waits, and is in no row, or lacks nothing", test)
		}
	}
}

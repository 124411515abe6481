package insulation

// A ReferenceLine is a named figure from an open standard that a result may be
// drawn beside. It is no limit of this pack and no verdict: the maker's figure and
// the local code come first.
type ReferenceLine struct {
	Name        string
	OhmsPerVolt float64 // of the standard's Ri, by working volts
	Applies     string
	Source      string
}

// Ohms is the line for a pack of that many working volts.
func (l ReferenceLine) Ohms(working float64) float64 { return l.OhmsPerVolt * working }

// ReferenceLines are the lines that there are. The figures cap the current through
// a contact of no resistance from one pole to chassis at 10 mA and at 2 mA.
func ReferenceLines() []ReferenceLine {
	return []ReferenceLine{
		{
			Name:        "100 ohm/V",
			OhmsPerVolt: 100,
			Applies:     "direct current alone, or joined to alternating current of which every part has double or reinforced protection",
			Source:      "UN Regulation No. 100, 03 series of amendments, 5.1.3",
		},
		{
			Name:        "500 ohm/V",
			OhmsPerVolt: 500,
			Applies:     "where alternating current is joined to the direct current",
			Source:      "UN Regulation No. 100, 03 series of amendments, 5.1.3",
		},
	}
}

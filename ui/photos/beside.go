package photos

import "image"

// A shown picture, or why there is none.
type shown struct {
	small image.Image
	wrong string
}

// most is how large a picture is kept for showing, in points.
const most = 3000

// makeSmall makes the small pictures that lack beside the window, one after the
// other: a case may have many photos, and only one of them is in memory whole.
func (p *Page) makeSmall() {
	id := ""
	for _, ph := range p.all {
		if _, done := p.small[ph.ID]; !done && id == "" {
			id = ph.ID
		}
	}
	if id == "" || p.making {
		return
	}
	p.making = true
	data, err := p.deps.Keep().PhotoData(id)
	p.deps.Go(func() {
		s := shown{}
		if err == nil {
			var img image.Image
			if img, err = Decode(data); err == nil {
				s.small = Fitted(img, 2*thumbWide, 2*thumbHigh)
			}
		}
		if err != nil {
			s.wrong = "cannot be shown: " + err.Error()
		}
		p.deps.Do(func() {
			p.small[id], p.making = s, false
			p.shelf.Refresh()
			p.makeSmall()
		})
	})
}

// showLarge makes the large picture of what is chosen beside the window.
func (p *Page) showLarge() {
	p.run++
	run := p.run
	p.large, p.largeW = nil, ""
	p.show()
	id := p.chosen
	if p.adding {
		id = ""
	}
	data, err := []byte(nil), error(nil)
	switch {
	case id != "":
		data, err = p.deps.Keep().PhotoData(id)
	case p.adding && p.file.data != nil:
		data = p.file.data
	default:
		return
	}
	p.largeW = "Reading the picture …"
	p.show()
	p.deps.Go(func() {
		var img image.Image
		if err == nil {
			img, err = Decode(data)
		}
		if err == nil {
			img = Fitted(img, most, most)
		}
		p.deps.Do(func() {
			if run != p.run {
				return
			}
			p.large, p.largeW = img, ""
			if err != nil {
				p.large, p.largeW = nil, "It cannot be shown: "+err.Error()+"."
			}
			p.show()
		})
	})
}

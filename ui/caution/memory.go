// Package caution is what must not be missed at the place of work, with this case's
// numbers, and how often it is said in full: once in a state, and again for other
// numbers, another person, or after a break. After that it is one line, and never
// gone.
//
// It is pure: it reads facts, knows no widget and no clock. It states what is live
// by layout and state and who decides, and never that anything may be touched.
package caution

import "time"

// Break is how long nobody was here when somebody is taken to come back.
const Break = 20 * time.Minute

// A Memory is which cautions have been said, where, in which state and to whom.
type Memory struct {
	said    map[string]said
	last    time.Time // when anything was shown
	absence int       // how often somebody came back after a break
}

type said struct {
	text, state, who string
	visit, absence   int
	full, asks       bool
}

// A Moment is in which state, by whom and when something is shown. Visit counts how
// often the page was opened; a caution stays as it is for as long as its page does.
type Moment struct {
	State, Who string
	Visit      int
	Now        time.Time // zero = no clock: no break is seen
}

// Say tells whether a caution is said in full now, and whether it asks if the state
// still is as recorded: it does for another person and after a break.
func (m *Memory) Say(place, text string, at Moment) (full, asks bool) {
	if m.said == nil {
		m.said = map[string]said{}
	}
	if !at.Now.IsZero() {
		if !m.last.IsZero() && at.Now.Sub(m.last) >= Break {
			m.absence++
		}
		m.last = at.Now
	}
	was, had := m.said[place]
	same := had && was.text == text && was.state == at.State
	person := same && was.who != at.Who
	back := same && was.absence != m.absence
	if same && !person && !back && was.visit == at.Visit {
		return was.full, was.asks
	}
	now := said{text, at.State, at.Who, at.Visit, m.absence, !same || person || back, person || back}
	m.said[place] = now
	return now.full, now.asks
}

// Turn says one in full again that stood as one line, because somebody wants to read
// it, and the other way round, because somebody has read it.
func (m *Memory) Turn(place string) {
	if s, ok := m.said[place]; ok {
		s.full, s.asks = !s.full, false
		m.said[place] = s
	}
}

// Full says that one stands in full.
func (m *Memory) Full(place string) bool { return m.said[place].full }

package picture

import (
	"strings"

	"halfsplit/topology"
	"halfsplit/ui/underlay"
)

// PhotosOf reads the photos that a layout lies on. leftOut names those that cannot be
// read, for a sentence to the person; "" = none.
func PhotosOf(l topology.Layout, read func(sha256 string) ([]byte, error)) (photos map[string]*underlay.Photo, leftOut string) {
	photos = map[string]*underlay.Photo{}
	var names []string
	for _, u := range l.Underlays {
		if photos[u.Photo] != nil {
			continue
		}
		data, err := read(u.Photo)
		if err == nil {
			photos[u.Photo], err = underlay.Take(data)
		}
		if err != nil {
			delete(photos, u.Photo)
			names = append(names, u.Name)
		}
	}
	return photos, strings.Join(names, ", ")
}

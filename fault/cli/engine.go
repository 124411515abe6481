package cli

import "halfsplit/fault/locate"

// engine is what this build locates with.
func engine() Find { return locate.Find }

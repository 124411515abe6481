package locate_test

// waiting is what the engine does not do yet: the test, and what it lacks. A
// test that passes must come off the list, and fails as long as it is on it.
var waiting = map[string]string{}

// Package windlane tells the whole story of a day's boat fishing on one screen:
// from a lake, a forecast and a bag to a plan that a person can read.
package windlane

//go:build js && wasm

// Command windlane-wasm is the engine's one door for a page: it sets one
// function, windlaneAnswer(request: Uint8Array): Uint8Array, one JSON request in,
// one JSON answer out. It holds no physics and no state.
package main

import (
	"syscall/js"

	"windlane/internal/engine"
)

func main() {
	js.Global().Set("windlaneAnswer", js.FuncOf(func(_ js.Value, args []js.Value) any {
		var request []byte // anything but bytes is answered as an empty request
		if len(args) == 1 && args[0].InstanceOf(js.Global().Get("Uint8Array")) {
			request = make([]byte, args[0].Get("byteLength").Int())
			js.CopyBytesToGo(request, args[0])
		}
		answer := engine.Answer(request)
		out := js.Global().Get("Uint8Array").New(len(answer))
		js.CopyBytesToJS(out, answer)
		return out
	}))
	select {}
}

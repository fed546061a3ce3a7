pragma ComponentBehavior: Bound

import QtQuick

// The set-up face, on a laptop or a tablet either way up: typed, tapped, read at half a metre.
FaceSizes {
    id: sizes

    readonly property int box: 64
    readonly property int typing: 28
    readonly property int digit: 132
    readonly property int digitPitch: 102
    readonly property int typedDigit: 112
    readonly property int typedPitch: 78
    readonly property int foot: 76
    readonly property int chip: 26

    floor: 17
    small: 20
    body: 24
    strong: 30
    title: 46
    figure: 132
    number: 56
    margin: 24
    gap: 12
    target: 64
    rail: 64
    mark: 32
}

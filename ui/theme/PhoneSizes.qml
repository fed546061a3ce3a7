pragma ComponentBehavior: Bound

import QtQuick

// The net face folded to a phone, 360 x 760.
FaceSizes {
    id: sizes

    readonly property int glance: 26
    readonly property int meant: 140
    readonly property int due: 64
    readonly property int clock: 96
    readonly property int plateHigh: 300
    readonly property int answerHigh: 236

    floor: 18
    small: 20
    body: 26
    strong: 32
    title: 40
    figure: 112
    number: 38
    margin: 16
    gap: 14
    target: 64
    rail: 68
    mark: 36
}

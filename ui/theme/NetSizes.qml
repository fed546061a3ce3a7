pragma ComponentBehavior: Bound

import QtQuick

// The net face on a tablet, landscape 1280 x 800 or portrait 800 x 1280.
FaceSizes {
    id: sizes

    readonly property int glance: 26
    readonly property int portraitNumber: 50
    readonly property int due: 80
    readonly property int dueDisc: 120
    readonly property int well: 276
    readonly property int wellPad: 64
    readonly property int answerHigh: 126
    readonly property int tray: 166
    readonly property int clock: 96
    readonly property int padNumber: 104
    readonly property int stopDisc: 104
    readonly property int stopRing: 72

    floor: 17
    small: 20
    body: 26
    strong: 32
    title: 46
    figure: 140
    number: 56
    margin: 24
    gap: 14
    target: 64
    rail: 64
    mark: 36
}

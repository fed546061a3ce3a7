pragma ComponentBehavior: Bound

import QtQuick

// The wrist face: 396 x 484, one glance and one tap.
FaceSizes {
    id: sizes

    readonly property int team: 92
    readonly property int due: 64
    readonly property int longTitle: 58
    readonly property int proposal: 92
    readonly property int disc: 75
    readonly property int ring: 132
    readonly property int letter: 46
    readonly property int server: 46
    readonly property int bandWidth: 16
    readonly property int courtHigh: 264
    readonly property int plateHigh: 300
    readonly property int answerHigh: 172
    readonly property int tellHigh: 120
    readonly property int padHigh: 128
    readonly property int thirdHigh: 110
    readonly property int tick: 84
    readonly property int roundChord: 330
    readonly property int roundCap: 112
    readonly property int rowDisc: 54

    floor: 29
    small: 30
    body: 36
    strong: 46
    title: 64
    figure: 112
    number: 46
    margin: 12
    gap: 12
    target: 120
    rail: 68
    mark: 52
}

pragma ComponentBehavior: Bound

import QtQuick

// The table face: 1366 x 768, keyboard only.
FaceSizes {
    id: sizes

    readonly property int sets: 46
    readonly property int hint: 18
    readonly property int verb: 28
    readonly property int bench: 292
    readonly property int court: 680
    readonly property int row: 34
    readonly property int firstPlate: 96
    readonly property int nextPlate: 44
    readonly property int line: 82
    readonly property int keys: 78
    readonly property int substitution: 96
    readonly property int sheetNumber: 56

    floor: 17
    small: 18
    body: 22
    strong: 28
    title: 46
    figure: 150
    number: 40
    margin: 24
    gap: 6
    target: 44
    rail: 52
    mark: 28
}

pragma ComponentBehavior: Bound

import QtQuick

// The board face: 1920 x 1080, read from three metres.
FaceSizes {
    id: sizes

    readonly property int openFigure: 96
    readonly property int tileWide: 336
    readonly property int tileHigh: 292
    readonly property int tileBand: 14
    readonly property int list: 416
    readonly property int health: 60

    floor: 31
    small: 32
    body: 36
    strong: 44
    title: 44
    figure: 64
    number: 36
    margin: 32
    gap: 12
    target: 48
    rail: 76
    mark: 44
}

pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The court as twelve pads, each where the player stands. Drawn to scale where there is room (`toScale`), else
// four across with the net between. The half-turn holds: the right half is the left one turned.
Item {
    id: grid

    required property CourtView court
    required property FaceSizes sizes
    property bool toScale: false
    property int padWide: 104
    property int padHigh: 104
    property int numberSize: grid.sizes.number
    property bool openLeft: true
    property bool openRight: true
    property int rim: 50

    readonly property real floorWide: grid.width - 2 * grid.rim
    readonly property real metre: grid.floorWide / 18
    readonly property real row: grid.height / 3

    signal chosen(team: string, number: int)

    function along(front: bool): real {
        return grid.toScale ? grid.metre * (front ? 7.5 : 3.25) : grid.floorWide * (front ? 0.375 : 0.125) + (front ? -2 : -4);
    }

    function rowOf(position: int): int {
        return position === 5 || position === 4 ? 0 : position === 6 || position === 3 ? 1 : 2;
    }

    CourtLines {
        visible: grid.toScale
        x: grid.rim
        width: grid.floorWide
        height: grid.height
        overhang: Theme.s3
    }

    Repeater {
        model: grid.toScale ? [] : [0.25, 0.5, 0.75]

        Rectangle {
            required property real modelData

            x: Math.round(grid.rim + grid.floorWide * modelData - width / 2)
            y: modelData === 0.5 ? -Theme.s2 : 0
            width: modelData === 0.5 ? Theme.heavy : Theme.outline
            height: grid.height + (modelData === 0.5 ? 2 * Theme.s2 : 0)
            color: modelData === 0.5 ? Theme.ink : Theme.line
        }
    }

    Repeater {
        model: [grid.court.leftTeam, grid.court.rightTeam]

        Item {
            id: half

            required property TeamLook modelData
            required property int index

            TeamBand {
                x: half.index === 0 ? 0 : grid.width - width
                width: Math.min(Theme.bandWidth, grid.rim - 2)
                height: grid.height
                letter: half.modelData.letter
            }

            Repeater {
                model: half.modelData.spots

                Pad {
                    id: pad

                    required property int position
                    required property int number
                    required property bool libero
                    required property bool captain

                    readonly property real placeX: grid.along([2, 3, 4].includes(pad.position))
                    readonly property real placeY: grid.row * (grid.rowOf(pad.position) + 0.5)

                    objectName: "net.numbers." + half.modelData.letter + "." + pad.number
                    x: Math.round(grid.rim + (half.index === 0 ? pad.placeX : grid.floorWide - pad.placeX) - width / 2)
                    y: Math.round((half.index === 0 ? pad.placeY : grid.height - pad.placeY) - height / 2)
                    width: grid.padWide
                    height: grid.padHigh
                    sizes: grid.sizes
                    centred: true
                    labelSize: grid.numberSize
                    enabled: half.index === 0 ? grid.openLeft : grid.openRight
                    text: String(pad.number)
                    Accessible.name: pad.number + ", Team " + half.modelData.letter + ", position " + pad.position
                    onActed: grid.chosen(half.modelData.letter, pad.number)

                    Rectangle {
                        visible: pad.libero
                        anchors.centerIn: parent
                        width: Math.round(grid.numberSize * 1.5)
                        height: Math.round(grid.numberSize * 1.2)
                        color: Theme.clear
                        border {
                            width: Theme.outline
                            color: pad.enabled ? Theme.line : Theme.hair
                        }
                    }

                    Rectangle {
                        visible: pad.captain
                        x: Math.round((parent.width - width) / 2)
                        y: Math.round(parent.height / 2 + grid.numberSize * 0.5)
                        width: Math.round(grid.numberSize * 1.1)
                        height: Theme.frame
                        color: pad.tone
                    }
                }
            }
        }
    }
}

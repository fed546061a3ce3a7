pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Shapes
import Crewlink.Views
import Crewlink.Ui

// A code on show: nine digits in three rows, the square beside them, how long it is good and how often it may be tried.
// One that is too old is struck through; a pad makes a new one.
Item {
    id: page

    required property ShownCodeLook code

    readonly property SetupSizes sizes: Theme.setup
    readonly property real rowsTop: 138
    readonly property real pitch: Math.min(132, (page.height - page.rowsTop - 48) / 3)
    readonly property real most: Math.min(page.width - 3 * page.sizes.digitPitch - 2 * page.sizes.margin, 3 * page.pitch)
    readonly property int unit: Math.floor(page.most / (page.code.squareSide + 8))
    readonly property int square: page.unit * (page.code.squareSide + 8)

    signal again

    Words {
        bl: 40
        size: page.sizes.title
        bold: true
        text: "Code for " + page.code.jobPhrase
    }

    Words {
        id: number

        bl: 82
        size: page.sizes.strong
        bold: true
        text: page.code.over ? "" : page.code.number
    }

    Words {
        x: number.text !== "" ? number.width + Theme.s2 : 0
        bl: 82
        size: page.sizes.small
        text: page.code.over ? "Too old now. Nobody can join with it." : number.text !== "" ? "is the number in the other device's list, or type " + page.code.address : "Type the address " + page.code.address + " on the other device."
        color: Theme.dim
    }

    Words {
        objectName: "setup.code.words"
        visible: !page.code.over
        bl: 116
        width: page.width
        elide: Text.ElideRight
        size: page.sizes.small
        text: page.code.courtWords !== "" ? page.code.courtWords + " (the other device shows the same)" : ""
        color: Theme.ink
    }

    SetupDigits {
        y: page.rowsTop
        code: page.code
        pitch: page.pitch
    }

    Pad {
        objectName: "setup.here.again"
        visible: page.code.over
        x: page.width - width
        y: page.rowsTop
        width: Math.min(360, page.most)
        height: 128
        sizes: page.sizes
        kind: Pad.Filled
        labelSize: page.sizes.strong
        path: Marks.swap
        text: "New code"
        onActed: page.again()
    }

    Rectangle {
        visible: page.code.squareSide > 0 && !page.code.over
        x: page.width - width
        y: page.rowsTop
        width: page.square
        height: page.square
        color: Theme.bright ? Theme.ground : Theme.ink
        border {
            width: Theme.outline
            color: Theme.ink
        }
        Accessible.role: Accessible.Graphic
        Accessible.name: "The same as a square for a camera"

        Shape {
            x: 4 * page.unit
            y: 4 * page.unit
            transformOrigin: Item.TopLeft
            scale: page.unit

            ShapePath {
                strokeColor: Theme.clear
                strokeWidth: -1
                fillColor: Theme.bright ? Theme.ink : Theme.ground

                PathSvg {
                    path: page.code.squarePath
                }
            }
        }
    }

    Row {
        visible: !page.code.over
        y: page.rowsTop + 3 * page.pitch + Theme.s3
        spacing: Theme.s3

        Words {
            bl: 26
            size: page.sizes.body
            text: "good for"
            color: Theme.dim
        }

        Words {
            bl: 26
            size: page.sizes.strong
            bold: true
            text: page.code.leftText
        }

        Words {
            bl: 26
            leftPadding: Theme.s4
            size: page.sizes.body
            text: page.code.triesText
            color: Theme.dim
        }
    }
}

pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// R1 says how a notice ended: the three usual words for it.
Item {
    id: page

    required property NoticeLook notice
    required property WristShape shape

    readonly property bool round: page.shape.round

    signal chosen(outcome: string)

    Words {
        visible: !page.round
        x: Theme.s5
        bl: 48
        size: Theme.wrist.body
        bold: true
        text: page.notice.title
    }

    Repeater {
        model: page.notice.outcomes.slice(0, 3)

        WristPad {
            id: pad

            required property string modelData
            required property int index

            objectName: "wrist.ends." + pad.index
            x: page.round ? 0 : Theme.wrist.margin
            y: (page.round ? 42 : 70) + pad.index * (page.round ? 136 : 140)
            width: page.width - 2 * pad.x
            height: page.round ? 124 : Theme.wrist.padHigh
            shape: page.shape
            text: pad.modelData.charAt(0).toUpperCase() + pad.modelData.slice(1)
            labelSize: Theme.wrist.small
            middle: page.round ? [0.68, 0.5, 0.2][pad.index] : 0.5
            arm: true
            onActed: page.chosen(pad.modelData)
        }
    }
}

pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// All text of the program. Set by its baseline (`bl`) or by the middle of its capitals (`mid`), in px from the
// parent's top. Figures are tabular only where the string is nothing but figures and colons.
Text {
    id: words

    required property int size
    property bool bold: false
    property real bl: -1
    property real mid: -1

    readonly property real capital: 0.727
    readonly property real inkX: words.horizontalAlignment === Text.AlignHCenter ? (words.width - words.contentWidth) / 2 : words.horizontalAlignment === Text.AlignRight ? words.width - words.contentWidth : 0

    y: words.bl >= 0 ? Math.round(words.bl - words.baselineOffset) : words.mid >= 0 ? Math.round(words.mid + words.capital * words.size / 2 - words.baselineOffset) : 0
    color: Theme.ink
    textFormat: Text.PlainText
    renderType: Text.QtRendering
    font {
        family: Theme.family
        pixelSize: words.size
        weight: words.bold ? Font.Bold : Font.Normal
        letterSpacing: words.size >= 90 ? -0.03 * words.size : words.size >= 40 ? -0.015 * words.size : 0
        features: /^[0-9: ]+$/.test(words.text) ? {
            "tnum": 1
        } : {}
    }
}

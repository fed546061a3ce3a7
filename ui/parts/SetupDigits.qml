pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The nine digits of a code in three rows, struck through when it is too old.
Item {
    id: digits

    required property ShownCodeLook code
    required property real pitch

    readonly property SetupSizes sizes: Theme.setup

    Accessible.role: Accessible.StaticText
    Accessible.name: (digits.code.over ? "Old code " : "Code ") + digits.code.spoken

    Repeater {
        model: 9

        Words {
            required property int index

            x: Math.round((index % 3) * digits.sizes.digitPitch + (digits.sizes.digitPitch - width) / 2 - 6)
            mid: Math.floor(index / 3) * digits.pitch + digits.pitch / 2
            size: digits.sizes.digit
            bold: true
            text: digits.code.digits.charAt(index)
            color: digits.code.over ? Theme.off : Theme.ink
            font.strikeout: digits.code.over
        }
    }
}

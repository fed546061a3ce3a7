pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The colour of the shirts: each press goes to the next one.
Item {
    id: shirt

    required property TeamForm form

    implicitHeight: 28 + Theme.setup.box

    Words {
        bl: 18
        size: Theme.setup.small
        text: "Shirts"
        color: Theme.dim
    }

    Press {
        id: pad

        objectName: "setup.team" + shirt.form.letter + ".shirt"
        y: 28
        width: shirt.width
        height: Theme.setup.box
        text: shirt.form.shirtWord
        Accessible.name: shirt.form.shirtWord + ", shirts of team " + shirt.form.letter
        onActed: shirt.form.nextShirt()

        background: Rectangle {
            radius: Theme.padRadius
            color: Theme.raised
            border {
                width: pad.pressed ? Theme.frame : Theme.bright ? Theme.outline : 0
                color: pad.pressed ? Theme.ink : Theme.line
            }
        }

        contentItem: Item {
            ShirtSquare {
                x: Theme.s4
                y: Math.round((parent.height - height) / 2)
                colour: shirt.form.shirt
            }

            Words {
                x: shirt.form.shirt !== "" ? Theme.s4 + Theme.shirt + Theme.s3 : Theme.s4
                mid: parent.height / 2
                size: Theme.setup.body
                bold: true
                text: pad.text
            }
        }
    }
}

pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Beside the sheet: whether it can be accepted, each fault under its flag, and how far both teams' sheets are.
Item {
    id: faults

    required property CourtView view

    readonly property TableSizes sizes: Theme.table
    readonly property DeskPanel panel: faults.view.desk.panel
    readonly property int most: Math.floor((faults.height - 110 - 110) / 56)

    function sheetText(sheet: SheetLook, team: TeamLook): string {
        if (sheet.state !== "accepted")
            return sheet.team === faults.panel.sheetTeam ? "being typed" : "still missing";
        return "in: " + sheet.numbers.join(" ") + (team.liberoList !== "" ? ", libero " + team.liberoList : "");
    }

    Words {
        objectName: "table.sheet.title"
        bl: 58
        size: faults.sizes.title
        bold: true
        text: faults.panel.sheetTitle
    }

    Words {
        bl: 92
        size: faults.sizes.body
        text: faults.panel.sheetDetail
        color: Theme.dim
    }

    Rectangle {
        y: 112
        width: faults.width
        height: Theme.hairline
        color: Theme.hair
    }

    Repeater {
        model: faults.panel.faults

        Item {
            id: fault

            required property int index
            required property int flag
            required property string sentence

            visible: fault.index < faults.most
            y: 124 + fault.index * 56
            width: faults.width
            height: 56

            Rectangle {
                y: 8
                width: 34
                height: 34
                color: Theme.ink

                Words {
                    x: Math.round((parent.width - width) / 2)
                    mid: 17
                    size: faults.sizes.body
                    bold: true
                    text: String(fault.flag)
                    color: Theme.ground
                }
            }

            Words {
                x: 54
                width: fault.width - x
                mid: 25
                size: faults.sizes.body
                bold: true
                text: fault.sentence
            }
        }
    }

    Repeater {
        model: [[faults.view.teamA, faults.view.sheetA], [faults.view.teamB, faults.view.sheetB]]

        Item {
            id: team

            required property var modelData
            required property int index

            readonly property TeamLook look: team.modelData[0]
            readonly property SheetLook sheet: team.modelData[1]

            y: faults.height - 100 + team.index * 40
            width: faults.width

            Words {
                bl: 26
                size: faults.sizes.body
                bold: true
                text: "Team " + team.look.letter
            }

            Icon {
                x: 96
                y: 8
                path: team.sheet.state === "accepted" ? Marks.answered : Marks.wait
                size: 20
            }

            Words {
                x: 128
                bl: 26
                size: faults.sizes.body
                text: faults.sheetText(team.sheet, team.look)
            }
        }
    }
}

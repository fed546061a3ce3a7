pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What the event decides, each with a line that says what it means for the crew. The usual stands until it is touched.
Item {
    id: page

    required property EventForm form
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real column: page.wide ? Math.round((page.width - 2 * page.sizes.margin) / 2) : page.width

    Words {
        bl: 40
        size: page.sizes.title
        bold: true
        text: "What the event decides"
    }

    Column {
        id: first

        y: 76
        width: page.column
        spacing: page.sizes.gap

        Pad {
            objectName: "setup.event.worn"
            width: parent.width
            height: 84
            sizes: page.sizes
            inset: Theme.s4
            path: Marks.swap
            markSize: 32
            text: page.form.worn ? "Worn devices allowed" : "Table only"
            detail: page.form.worn ? "R1 may answer on the wrist" : "R1 signals, the table enters it"
            onActed: page.form.turnWorn()
        }

        Pad {
            objectName: "setup.event.names"
            width: parent.width
            height: 84
            sizes: page.sizes
            inset: Theme.s4
            path: Marks.swap
            markSize: 32
            text: page.form.names ? "Team names shown" : "No team names"
            detail: page.form.names ? "On screens and on paper" : "Team A and Team B, on screens and on paper"
            onActed: page.form.turnNames()
        }

        SetupBox {
            name: "setup.event.responsible"
            width: parent.width
            label: "Who answers for names and reports, if you like"
            hint: "Named on every list of reports"
            value: page.form.responsible
            flag: page.form.responsibleFlag
            onTyped: text => page.form.putResponsible(text)
        }

        SetupFaults {
            objectName: "setup.event.faults"
            width: parent.width
            lines: page.form.faults
        }
    }

    Column {
        x: page.wide ? page.width - width : 0
        y: page.wide ? 76 : first.y + first.height + Theme.s6
        width: page.column
        spacing: page.sizes.margin

        SetupStep {
            name: "setup.event.days"
            width: parent.width
            label: "Names and reports are kept"
            value: page.form.keptText
            detail: page.form.keptNote
            onStepped: by => page.form.stepDays(by)
        }

        SetupStep {
            name: "setup.event.medical"
            width: parent.width
            label: "Who closes a head injury"
            value: page.form.medicalText
            detail: page.form.medicalNote
            choice: true
            onStepped: by => page.form.nextMedical(by)
        }
    }
}

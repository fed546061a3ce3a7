pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The match history, newest first, as many rows as fit; the chosen row wears the ring and stays in sight.
Item {
    id: history

    required property CourtView view

    readonly property DeskPanel panel: history.view.desk.panel
    readonly property bool focused: history.panel.region === "history"
    readonly property int step: 36
    readonly property int fit: Math.max(1, Math.floor(history.height / history.step))
    readonly property int first: history.focused ? Math.max(0, history.panel.row - history.fit + 1) : 0

    // The rows are chosen with Up and Down; a pointer may choose one too, though they are lower than a touch target.
    TapHandler {
        onTapped: point => history.view.desk.pick("history", history.first + Math.floor(point.position.y / history.step))
    }

    Repeater {
        id: rows

        model: history.view.history

        HistoryRow {
            id: row

            required property int index

            readonly property bool chosen: history.focused ? history.panel.row === row.index : history.panel.target !== "" && history.panel.target === row.entry

            objectName: "table.history." + row.index
            y: (row.index - history.first) * history.step
            width: history.width
            height: history.step
            implicitHeight: history.step
            topPadding: 0
            bottomPadding: 0
            leftPadding: 0
            rightPadding: 0
            visible: row.index >= history.first && row.index < history.first + history.fit
            sizes: Theme.table
            focusPolicy: Qt.NoFocus
            enabled: false
            newest: row.index === 0 || row.chosen
            laneGap: Theme.s3

            FocusRing {
                visible: row.chosen
                inner: 0
                z: 1
            }
        }
    }

    Words {
        visible: rows.count === 0
        mid: 18
        size: Theme.table.body
        text: "Nothing is written yet"
        color: Theme.dim
    }
}

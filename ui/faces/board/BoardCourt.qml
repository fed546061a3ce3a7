pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One court opened: score, court and crew; match history with a lane a team; notices with their way through the crew.
Item {
    id: page

    required property BoardView board
    required property CourtView court

    readonly property BoardSizes sizes: Theme.board

    BoardScore {
        x: page.sizes.margin
        width: 560
        height: page.height
        court: page.court
        linked: page.board.openedLinked
    }

    BoardHistory {
        x: 656
        width: 540
        height: page.height
        court: page.court
    }

    BoardNotices {
        x: 1260
        width: 628
        height: page.height
        board: page.board
        court: page.court
    }

    Repeater {
        model: [624, 1228]

        Rectangle {
            required property int modelData

            x: modelData
            y: 24
            width: Theme.outline
            height: page.height - 36
            color: Theme.hair
        }
    }
}

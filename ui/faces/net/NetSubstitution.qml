pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// NetSubstitution, to be built.
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property bool upright
}

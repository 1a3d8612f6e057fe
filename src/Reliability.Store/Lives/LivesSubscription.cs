using JasperFx.Events.Daemon;
using JasperFx.Events.Projections;
using Marten;
using Marten.Subscriptions;
using Microsoft.Extensions.Logging;
using Reliability.Store.Readings;

namespace Reliability.Store.Lives;

/// <summary>
/// Follows the log and brings lives and module states up to date. Events only say which modules to look at; what their lives
/// are is derived from the whole record. Marten says how far the log is settled, keeps the progress, and lets one process of
/// several do the work.
/// </summary>
internal sealed class LivesSubscription : SubscriptionBase
{
    /// <summary>Name of the progress that tells how far lives have come.</summary>
    public const string ShardName = SubscriptionTitle + ":All";

    private const string SubscriptionTitle = "lives";

    private readonly LivesIntake _intake;
    private readonly LivesPace _pace;
    private long _reached, _delivered;

    public LivesSubscription(Database database, LivesPace pace, ILogger log)
    {
        (_intake, _pace) = (new LivesIntake(database, log), pace);
        Name = SubscriptionTitle;
        IncludeArchivedEvents = true;
        // Marten loads whole events, sheets with their bytes. More than make a bulk load are not needed: what lies behind the page
        // is looked up here.
        Options.BatchSize = LivesPace.Bulk + 50;
        // The next page is fetched when the one before is done: what comes meanwhile is taken in together.
        Options.MaximumHopperSize = 1;
    }

    public override async Task<IChangeListener> ProcessEventsAsync(
        EventRange page, ISubscriptionController controller, IDocumentOperations operations,
        CancellationToken cancellationToken)
    {
        // A page that comes again was not on disk, and nor were the rows made of it: the database died, or another took its place.
        if (page.SequenceFloor < _delivered) _reached = page.SequenceFloor;
        // An earlier page may have taken in what lies behind it.
        if (page.SequenceCeiling > _reached)
        {
            var floor = Math.Max(page.SequenceFloor, _reached);
            await _pace.WaitAsync(page.Events.Sum(Weight), floor, cancellationToken);
            _reached = await _intake.TakeInAsync(floor, page.SequenceCeiling, cancellationToken);
        }
        _delivered = page.SequenceCeiling;
        return NullChangeListener.Instance;
    }

    /// <summary>How many events or readings a stored event is, about.</summary>
    private static int Weight(JasperFx.Events.IEvent stored) =>
        stored.Data is ReadingSheet sheet ? 1 + (sheet.Bytes.Length / 30) : 1;
}

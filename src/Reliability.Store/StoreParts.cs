using Marten;
using Reliability.Store.Health;
using Reliability.Store.Lives;
using Reliability.Store.Posting;

namespace Reliability.Store;

/// <summary>What the parts of the store share while it runs.</summary>
internal sealed record StoreParts(
    Database Database, IDocumentStore Documents, EventWriter Writer, LivesPace Pace, IdleTransactions IdleTransactions);

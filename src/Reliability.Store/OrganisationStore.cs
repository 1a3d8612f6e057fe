using Reliability.Store.Aliases;
using Reliability.Store.Attributes;
using Reliability.Store.Catalogue;
using Reliability.Store.Lives;
using Reliability.Store.Log;
using Reliability.Store.Modules;
using Reliability.Store.Notes;
using Reliability.Store.Posting;
using Reliability.Store.Revisions;
using Reliability.Store.Uploads;

namespace Reliability.Store;

/// <summary>Everything that one organisation has recorded, and what follows from it.</summary>
public sealed class OrganisationStore
{
    internal OrganisationStore(string organisation, StoreParts parts)
    {
        Organisation = organisation;
        Revisions = new RevisionQueries(organisation, parts.Database, parts.Pace);
        RecordTimes = new RecordTimeQueries(organisation, parts.Database, parts.Pace);
        Catalogue = new CatalogueStore(organisation, parts.Database, parts.Documents);
        Events = new EventLog(organisation, parts.Writer, parts.Database);
        Following = new EventFollowing(organisation, parts.Database);
        Notes = new NoteStore(organisation, parts.Database, parts.Documents);
        Modules = new ModuleQueries(organisation, parts.Database, Notes);
        Lives = new LifeQueries(organisation, parts.Database);
        Attributes = new AttributeQueries(organisation, parts.Database);
        Uploads = new UploadStore(organisation, parts.Database);
        Aliases = new AliasStore(organisation, parts.Database, parts.Documents);
    }

    /// <summary>Id of the organisation; first in every key.</summary>
    public string Organisation { get; }

    /// <summary>Posting of events.</summary>
    public EventLog Events { get; }

    /// <summary>Erasing of notes.</summary>
    public NoteStore Notes { get; }

    /// <summary>The events in the order of the log.</summary>
    public EventFollowing Following { get; }

    /// <summary>Modules, their state and their records.</summary>
    public ModuleQueries Modules { get; }

    /// <summary>Lives of cohorts.</summary>
    public LifeQueries Lives { get; }

    /// <summary>The module models.</summary>
    public CatalogueStore Catalogue { get; }

    /// <summary>Values of attributes in use.</summary>
    public AttributeQueries Attributes { get; }

    /// <summary>Uploaded files and their rejected rows.</summary>
    public UploadStore Uploads { get; }

    /// <summary>Names that mean the same.</summary>
    public AliasStore Aliases { get; }

    /// <summary>Revisions: where the log stands and waiting for the lives to follow.</summary>
    public RevisionQueries Revisions { get; }

    /// <summary>Instants of the record: until when it is settled.</summary>
    public RecordTimeQueries RecordTimes { get; }
}
